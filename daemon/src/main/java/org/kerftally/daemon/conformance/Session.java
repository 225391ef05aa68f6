package org.kerftally.daemon.conformance;

import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.StationConfig;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/**
 * Holds what the steps share: the device as it was heard last, the next number, the results, and
 * whether the stop may still be moved. Once a step found it moving when it must not, or the link or
 * the power was lost, nothing more is sent.
 */
final class Session {

  private static final String JOB = "conformance";
  private static final Duration GLANCE = Duration.ofMillis(50);

  final Rig rig;
  final StationConfig station;
  final SpanPlan span;
  private final Duration patience;
  private final List<StepResult> results = new ArrayList<>();
  private final Set<Step> done = EnumSet.noneOf(Step.class);
  private DeviceSnapshot device;
  private long highest;
  private @Nullable String stopped;
  private boolean down;
  private boolean wasDown;

  /**
   * Begins.
   *
   * @param patience how long a person may take to do what is asked
   */
  Session(
      Rig rig,
      StationConfig station,
      SpanPlan span,
      DeviceSnapshot device,
      long highest,
      Duration patience) {
    this.rig = rig;
    this.station = station;
    this.span = span;
    this.device = device;
    this.highest = highest;
    this.patience = patience;
  }

  DeviceSnapshot device() {
    return device;
  }

  boolean isDown() {
    return down;
  }

  /** Tells whether the link was down since the last question. */
  boolean wasDownSince() {
    return wasDown;
  }

  Duration patience() {
    return patience;
  }

  List<StepResult> results() {
    return results;
  }

  void pass(Step step, String seen) {
    put(step, StepResult.Verdict.PASS, seen);
  }

  void fail(Step step, String seen) {
    put(step, StepResult.Verdict.FAIL, seen);
  }

  void skip(Step step, String why) {
    put(step, StepResult.Verdict.NOT_TESTED, why);
  }

  /** Passes when nothing is wrong, else fails with all of it. */
  void judge(Step step, List<String> wrong, String seen) {
    if (wrong.isEmpty()) {
      pass(step, seen);
    } else {
      fail(step, String.join("; ", wrong));
    }
  }

  private void put(Step step, StepResult.Verdict verdict, String seen) {
    if (done.add(step)) {
      results.add(new StepResult(step, verdict, seen));
      rig.say(String.format("  %-10s  %-17s  %s", verdict.word(), step.id(), seen));
    }
  }

  boolean isContract() {
    return station.link().wiring().move().how() == MoveConfig.How.CONTRACT;
  }

  /** Skips a step where something stands in for the signal it is about; tells whether it did. */
  boolean standsIn(Step step, Signal signal) {
    StandIn standIn = StandIn.of(signal);
    if (standIn == null || !station.link().wiring().lacks(signal)) {
      return false;
    }
    skip(step, "the device has no " + standIn.signal() + ": " + standIn.standsIn());
    return true;
  }

  /** Sends nothing more, whatever follows. */
  void stop(String why) {
    if (stopped == null) {
      stopped = why;
    }
  }

  /** Returns why the stop may not be moved now, {@code null} when it may. */
  @Nullable String whyNoMove() throws InterruptedException {
    if (stopped != null) {
      return stopped;
    }
    if (down) {
      return "the link was lost";
    }
    if (!await(Duration.ofSeconds(10), d -> Permits.missing(d).isEmpty())) {
      return down ? "the link was lost" : "a permit is missing: " + Permits.missing(device).get(0);
    }
    return null;
  }

  /** Returns a target with the next number, or another one. */
  Target target(Length at, long seq) {
    return new Target(
        seq,
        station.calibration().toPosition(at),
        null,
        JOB,
        rig.wall().plus(station.targetValidity()),
        station.targetValidity(),
        device.boot());
  }

  long nextNumber() {
    highest = TrialPlan.above(device, highest);
    return highest;
  }

  /** Returns whichever of the two places is farther from where the stop stands. */
  Length other() {
    Length here = station.calibration().toLength(device.position());
    return span.high().minus(here).abs().isMoreThan(here.minus(span.low()).abs())
        ? span.high()
        : span.low();
  }

  /** Sends a target that a device in order takes. */
  MoveFacts move(Length at) throws InterruptedException {
    Target target = target(at, nextNumber());
    rig.say("    moving to " + Figures.mm(at) + " at the blade, number " + target.seq());
    Length room = span.high().minus(span.low());
    MoveFacts facts = MoveWatch.send(rig, target, station.window(), room, device);
    device = facts.last();
    if (facts.lost() != null) {
      down = true;
      stop("the link was lost");
    }
    if (facts.farthest().minus(target.position()).abs().isMoreThan(room.plus(room))) {
      stop("the stop went far beyond its span");
    }
    return facts;
  }

  /** Takes one event, or lets a glance pass. */
  @Nullable LinkEvent hear(Duration most) throws InterruptedException {
    LinkEvent event = rig.next(most.compareTo(GLANCE) < 0 ? most : GLANCE);
    if (event instanceof LinkEvent.Up up) {
      down = false;
      device = up.snapshot();
    } else if (event instanceof LinkEvent.Snapshot heard) {
      device = heard.snapshot();
    } else if (event instanceof LinkEvent.Down) {
      down = true;
      wasDown = true;
      stop("the link was lost");
    }
    return event;
  }

  /** Waits until the device is as wanted; tells whether it came to that. */
  boolean await(Duration most, Predicate<DeviceSnapshot> wanted) throws InterruptedException {
    long until = rig.nanos() + most.toNanos();
    while (down || !wanted.test(device)) {
      long left = until - rig.nanos();
      if (left <= 0) {
        return false;
      }
      hear(Duration.ofNanos(left));
    }
    return true;
  }

  /** Watches for a time; returns how far the stop came from where it stood. */
  Length strayed(Duration time) throws InterruptedException {
    Length from = device.position();
    Length most = Length.ZERO;
    long until = rig.nanos() + time.toNanos();
    for (long left = time.toNanos(); left > 0; left = until - rig.nanos()) {
      hear(Duration.ofNanos(left));
      most = most.max(device.position().minus(from).abs());
    }
    return most;
  }

  /** Asks the person for something and waits for it; tells whether it came. */
  boolean ask(String what, Prompt.Kind kind, Predicate<DeviceSnapshot> done)
      throws InterruptedException {
    wasDown = false;
    rig.say("    >> " + what + " Waiting " + patience.toSeconds() + " s.");
    rig.show(new Prompt(kind, what, null, null, null));
    try {
      return await(patience, done);
    } finally {
      rig.show(Prompt.NONE);
    }
  }

  String unanswered() {
    return down ? "the link was lost" : "nobody did it within " + patience.toSeconds() + " s";
  }
}
