package org.kerftally.protocol.quality;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.QualityConfig;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.length.Length;

/** Steps a core by hand, with a clock that moves only when told. */
final class CoreRig {

  static final Instant START = Instant.parse("2027-03-01T09:00:00Z");
  static final Duration VALIDITY = Duration.ofSeconds(3);

  final FakeDevice device = new FakeDevice();
  final List<LinkEvent> heard = new ArrayList<>();
  final List<Target> legs = new ArrayList<>();
  final List<String> notes = new ArrayList<>();
  final QualityCore core;
  long millis;

  CoreRig(QualityConfig quality) {
    core = new QualityCore(QualityStations.station(quality));
  }

  CoreRig(QualityConfig quality, Calibration calibration) {
    core =
        new QualityCore(
            QualityStations.station(quality, calibration, QualityStations.station(quality).link()));
  }

  QualityCore.Moment moment() {
    return new QualityCore.Moment(START.plusMillis(millis), millis * 1_000_000);
  }

  static Target target(long seq, Length position, Instant now) {
    return new Target(seq, position, "side", "job", now.plus(VALIDITY), VALIDITY, "b1");
  }

  /** Offers a target; returns the reason of a refusal, {@code null} when there is none. */
  @Nullable String offer(long seq, Length position) {
    QualityCore.Offer offer = core.offer(target(seq, position, START.plusMillis(millis)), moment());
    if (offer instanceof QualityCore.Offer.Leg leg) {
      legs.add(leg.target());
      return null;
    }
    return offer instanceof QualityCore.Offer.Refused refused
        ? refused.reply().reason()
        : "not live";
  }

  /** Offers a move to where nothing is cut. */
  @Nullable String offerMove(long seq, Length position) {
    Instant until = START.plusMillis(millis).plus(VALIDITY);
    Target move = new Target(seq, position, null, "", until, VALIDITY, "b1", StopMove.RETRACT);
    QualityCore.Offer offer = core.offer(move, moment());
    if (offer instanceof QualityCore.Offer.Leg leg) {
      legs.add(leg.target());
      return null;
    }
    return "not sent";
  }

  void hear(LinkEvent event) {
    QualityCore.Step step = core.hear(event, moment());
    if (step.heard() != null) {
      heard.add(step.heard());
    }
    if (step.leg() != null) {
      legs.add(step.leg());
    }
    if (step.note() != null) {
      notes.add(step.note());
    }
  }

  CoreRig up() {
    hear(new LinkEvent.Up(device.now()));
    return this;
  }

  void down() {
    hear(new LinkEvent.Down("gone"));
  }

  void look() {
    hear(new LinkEvent.Snapshot(device.now()));
  }

  void reply(long number, boolean accepted) {
    hear(new LinkEvent.Replied(number, accepted, accepted ? null : "no"));
  }

  /** Lets time pass, with every tick that falls due in it. */
  void pass(long more) {
    long end = millis + more;
    Long due = core.dueNanos();
    while (due != null && due <= end * 1_000_000) {
      millis = Math.max(millis, (due + 999_999) / 1_000_000);
      LinkEvent.Snapshot said = core.tick(millis * 1_000_000);
      if (said != null) {
        heard.add(said);
      }
      due = core.dueNanos();
    }
    millis = end;
  }

  /** Takes the first leg up to the turn, answered and looked at. */
  void turn(long number, Length turn) {
    device.take(number);
    reply(number, true);
    look();
    device.reach(turn);
    look();
  }

  DeviceSnapshot latest() {
    for (int i = heard.size() - 1; i >= 0; i--) {
      if (heard.get(i) instanceof LinkEvent.Snapshot said) {
        return said.snapshot();
      }
      if (heard.get(i) instanceof LinkEvent.Up up) {
        return up.snapshot();
      }
    }
    throw new IllegalStateException("nothing heard");
  }

  List<Long> numbers() {
    return legs.stream().map(Target::seq).toList();
  }
}
