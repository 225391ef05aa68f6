package org.kerftally.protocol.quality;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.QualityConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/**
 * Decides what goes to the device and what the station hears of it, from one event at a time.
 *
 * <p>Nothing is ever sent that the station has not asked for, nothing twice, and nothing because a
 * link came back, a device was powered up or this process was started: the second leg of a move is
 * held in memory alone, and dropped by everything that an operator would want to look at first.
 *
 * <p>Threading: none, and no clock; every call says when it is.
 */
final class QualityCore {

  private final @Nullable ApproachPath path;
  private final @Nullable InPosition inPosition;
  private final Length window;

  /** The device as it is in its own numbers, {@code null} while the link is down. */
  private @Nullable DeviceSnapshot latest;

  private String boot = "";
  private @Nullable Leg sent;
  private @Nullable Leg held;
  private boolean fresh;
  private boolean standing;
  private @Nullable SecondLeg second;
  private long secondSent;
  private boolean reached;

  /** A last leg, by its number at the device, and whether it leads to where something is cut. */
  private record Leg(long number, Length position, boolean toCut) {}

  /** Says when it is: by the clock, for what expires, and by one that never jumps. */
  record Moment(Instant wall, long nanos) {}

  /** Says what becomes of a target. */
  sealed interface Offer {

    /** Hand this leg to the link. */
    record Leg(Target target) implements Offer {}

    /** Tell the station, and send nothing. */
    record Refused(LinkEvent.Replied reply) implements Offer {}

    /** The link is down. */
    record NotLive() implements Offer {}
  }

  /**
   * Says what follows from an event.
   *
   * @param heard what the station hears, {@code null} for nothing
   * @param leg what to hand to the link now, {@code null} for nothing
   * @param note what to write down for whoever looks into it, {@code null} for nothing
   */
  record Step(@Nullable LinkEvent heard, @Nullable Target leg, @Nullable String note) {}

  QualityCore(StationConfig station) {
    QualityConfig quality = station.quality();
    this.path = ApproachPath.of(station);
    this.window = station.window();
    this.inPosition =
        quality.looksOver() ? new InPosition(quality.dwell(), quality.settle(), window) : null;
  }

  /** Takes a target of the station. Whatever was still to be done for the one before is not. */
  Offer offer(Target target, Moment now) {
    DeviceSnapshot device = latest;
    if (device == null) {
      return new Offer.NotLive();
    }
    second = null;
    if (path == null) {
      sent = new Leg(target.seq(), target.position(), target.move() == null);
      return new Offer.Leg(target);
    }
    if (target.seq() > DeviceNumbers.MOST) {
      return refused(
          target,
          "sequence number "
              + target.seq()
              + " is above "
              + DeviceNumbers.MOST
              + ", the last whose two legs fit 32 bits; give the station another name");
    }
    Leg last =
        new Leg(DeviceNumbers.lastLeg(target.seq()), target.position(), target.move() == null);
    Length turn = path.turn(target.position());
    if (turn == null && last.toCut()) {
      return refused(target, path.noRoom(target.position()));
    }
    sent = last;
    // Where nothing is cut, play in the drive takes nothing from anything.
    if (turn == null
        || !last.toCut()
        || path.isBeyond(device.position(), turn)
        || standsAt(target.position(), device)) {
      return new Offer.Leg(leg(target, last.number(), last.position(), target.validUntil()));
    }
    second = new SecondLeg(target, turn, window, device, now.nanos());
    long first = DeviceNumbers.firstLeg(target.seq());
    return new Offer.Leg(leg(target, first, turn, target.validUntil()));
  }

  private static Offer refused(Target target, String why) {
    return new Offer.Refused(new LinkEvent.Replied(target.seq(), false, why));
  }

  private static Target leg(Target of, long number, Length position, Instant until) {
    return new Target(
        number, position, of.part(), of.job(), until, of.validity(), of.boot(), of.move());
  }

  /** A stop that came there from the right side and has stood there since need not turn again. */
  private boolean standsAt(Length position, DeviceSnapshot device) {
    Leg here = held;
    return standing
        && here != null
        && here.toCut()
        && here.position().equals(position)
        && isWithin(device, here);
  }

  private boolean isWithin(DeviceSnapshot device, Leg leg) {
    return !device.position().minus(leg.position()).abs().isMoreThan(window);
  }

  /** Notes that the link did not take a leg. */
  void notSent(long number) {
    Leg last = sent;
    if (last != null && seq(last.number()) == seq(number)) {
      second = null;
      sent = null;
    }
  }

  private long seq(long number) {
    return path == null ? number : DeviceNumbers.seq(number);
  }

  /** Takes what the link says. */
  Step hear(LinkEvent event, Moment now) {
    if (event instanceof LinkEvent.Up up) {
      String note = drop("the link was down");
      startOver();
      take(up.snapshot());
      return new Step(new LinkEvent.Up(seen(up.snapshot(), now)), null, note);
    }
    if (event instanceof LinkEvent.Snapshot changed) {
      take(changed.snapshot());
      LinkEvent heard = new LinkEvent.Snapshot(seen(changed.snapshot(), now));
      return goOn(heard, changed.snapshot(), now);
    }
    if (event instanceof LinkEvent.Down) {
      String note = drop("the link went down");
      startOver();
      latest = null;
      return new Step(event, null, note);
    }
    if (path == null) {
      if (event instanceof LinkEvent.Replied reply) {
        forget(reply.seq(), reply.accepted());
      }
      return new Step(event, null, null);
    }
    if (event instanceof LinkEvent.CutReported report) {
      return new Step(new LinkEvent.CutReported(DeviceNumbers.seen(report.cut())), null, null);
    }
    return event instanceof LinkEvent.Replied reply
        ? replied(reply, now)
        : new Step(event, null, null);
  }

  private Step replied(LinkEvent.Replied reply, Moment now) {
    long number = reply.seq();
    if (number == secondSent) {
      // The station had its answer with the first leg; this one it could not place.
      forget(number, reply.accepted());
      String why = reply.reason() == null ? "no reason given" : reply.reason();
      return new Step(
          null, null, reply.accepted() ? null : "the second leg was refused, not retried: " + why);
    }
    long seq = DeviceNumbers.seq(number);
    LinkEvent heard = new LinkEvent.Replied(seq, reply.accepted(), reply.reason());
    SecondLeg waiting = second;
    if (waiting != null && !DeviceNumbers.isLastLeg(number) && waiting.target().seq() == seq) {
      DeviceSnapshot device = latest;
      if (!reply.accepted() || device == null) {
        notSent(number);
        return new Step(heard, null, null);
      }
      waiting.answered(now.nanos());
      return goOn(heard, device, now);
    }
    forget(number, reply.accepted());
    return new Step(heard, null, null);
  }

  private void forget(long number, boolean accepted) {
    Leg last = sent;
    if (!accepted && last != null && last.number() == number) {
      sent = null;
    }
  }

  /** Sends the second leg when it is due, or drops it. */
  private Step goOn(LinkEvent heard, DeviceSnapshot device, Moment now) {
    SecondLeg waiting = second;
    if (waiting == null) {
      return new Step(heard, null, null);
    }
    String spoiled = waiting.look(device, now.nanos());
    if (spoiled != null) {
      return new Step(heard, null, drop(spoiled));
    }
    if (!waiting.isDue(device)) {
      return new Step(heard, null, null);
    }
    second = null;
    Target target = waiting.target();
    secondSent = DeviceNumbers.lastLeg(target.seq());
    Instant until = now.wall().plus(target.validity());
    return new Step(heard, leg(target, secondSent, target.position(), until), null);
  }

  private @Nullable String drop(String why) {
    SecondLeg waiting = second;
    second = null;
    return waiting == null
        ? null
        : "target "
            + waiting.target().seq()
            + " ends with its first leg, the second is not sent: "
            + why;
  }

  private void startOver() {
    fresh = false;
    standing = false;
    reached = false;
    if (inPosition != null) {
      inPosition.startOver();
    }
  }

  private void take(DeviceSnapshot now) {
    if (!now.boot().equals(boot)) {
      startOver();
      boot = now.boot();
      held = null;
    }
    latest = now;
    Leg last = sent;
    if (last != null && last.number() == now.activeSequence() && !last.equals(held)) {
      held = last;
      fresh = true;
      standing = false;
    }
    Leg here = held;
    boolean there =
        here != null
            && here.number() == now.activeSequence()
            && now.targetReached()
            && isWithin(now, here);
    if (there && fresh) {
      fresh = false;
      standing = true;
    } else if (!there) {
      standing = false;
    }
  }

  private DeviceSnapshot seen(DeviceSnapshot raw, Moment now) {
    long number = raw.activeSequence();
    boolean said = raw.targetReached() && (path == null || DeviceNumbers.isLastLeg(number));
    Leg here = held;
    Length wanted = here == null || here.number() != number ? null : here.position();
    reached =
        inPosition == null
            ? said
            : inPosition.look(number, said, raw.position(), wanted, now.nanos());
    return shown(raw);
  }

  private DeviceSnapshot shown(DeviceSnapshot raw) {
    return (path == null ? raw : DeviceNumbers.seen(raw)).withTargetReached(reached);
  }

  /** Returns what to say because of the time alone, {@code null} for nothing. */
  LinkEvent.@Nullable Snapshot tick(long nowNanos) {
    DeviceSnapshot device = latest;
    if (device == null || inPosition == null || reached || !inPosition.pass(nowNanos)) {
      return null;
    }
    reached = true;
    return new LinkEvent.Snapshot(shown(device));
  }

  /** Returns when to tick, {@code null} when time alone changes nothing. */
  @Nullable Long dueNanos() {
    return latest == null || inPosition == null ? null : inPosition.dueNanos();
  }

  /** Tells whether the stop stands at what was asked for last, so that the operator may cut. */
  boolean mayCut() {
    Leg last = sent;
    DeviceSnapshot device = latest;
    return reached && device != null && (last == null || last.number() == device.activeSequence());
  }
}
