package org.kerftally.daemon.conformance;

import java.time.Duration;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/** Sends one target, once, and watches what comes of it. */
final class MoveWatch {

  /** How long a stop has to stand still short of its target before it is not waited for. */
  private static final Duration STILL = Duration.ofSeconds(6);

  /**
   * How long a stop in position is watched: one that leaves its window again is not in position.
   */
  static final Duration REST = Duration.ofMillis(800);

  /** No move of a trial takes this long. */
  private static final Duration MOST = Duration.ofSeconds(90);

  private static final Duration GLANCE = Duration.ofMillis(50);

  /** How far beyond what was asked for a stop may read before the person is warned. */
  private static final Length TOO_FAR = Length.ofMm(2);

  private final Bench bench;
  private final Target target;
  private final Length window;
  private final Length most;
  private final DeviceSnapshot before;
  private final long sentNanos;
  private DeviceSnapshot last;
  private @Nullable Boolean accepted;
  private @Nullable String reason;
  private @Nullable Duration answerAfter;
  private @Nullable Duration echoAfter;
  private @Nullable Duration startAfter;
  private @Nullable Duration reachedAfter;
  private @Nullable Length earlyAt;
  private Length farthest;
  private Length lastPosition;
  private long movedNanos;
  private @Nullable Long standingNanos;
  private @Nullable String lost;
  private boolean warned;

  private MoveWatch(Bench bench, Target target, Length window, Length most, DeviceSnapshot before) {
    this.bench = bench;
    this.target = target;
    this.window = window;
    this.most = most;
    this.before = before;
    this.last = before;
    this.farthest = before.position();
    this.lastPosition = before.position();
    this.sentNanos = bench.nanos();
    this.movedNanos = sentNanos;
  }

  /**
   * Sends a target and watches until it is refused, reached, void, given up or the link is lost.
   *
   * @param most how far the stop may get from where it is before the person is warned
   */
  static MoveFacts send(
      Bench bench, Target target, Length window, Length most, DeviceSnapshot before)
      throws InterruptedException {
    MoveWatch watch = new MoveWatch(bench, target, window, most, before);
    if (!bench.send(target)) {
      return watch.facts(false);
    }
    while (!watch.isOver()) {
      LinkEvent event = bench.next(GLANCE);
      if (event != null) {
        watch.hear(event);
      }
    }
    return watch.facts(true);
  }

  private Duration now() {
    return Duration.ofNanos(bench.nanos() - sentNanos);
  }

  private void hear(LinkEvent event) {
    if (event instanceof LinkEvent.Down down) {
      lost = down.reason();
    } else if (event instanceof LinkEvent.Replied reply && reply.seq() == target.seq()) {
      if (answerAfter == null) {
        accepted = reply.accepted();
        reason = reply.reason();
        answerAfter = now();
        movedNanos = bench.nanos();
      }
    } else if (event instanceof LinkEvent.Snapshot heard) {
      look(heard.snapshot());
    } else if (event instanceof LinkEvent.Up up) {
      // A link that came back within one glance.
      lost = Objects.requireNonNullElse(lost, "the link was lost and came back");
      look(up.snapshot());
    }
  }

  private void look(DeviceSnapshot device) {
    last = device;
    Length way = device.position().minus(before.position()).abs();
    if (way.isMoreThan(farthest.minus(before.position()).abs())) {
      farthest = device.position();
    }
    if (device.position().minus(lastPosition).abs().isMoreThan(window)) {
      lastPosition = device.position();
      movedNanos = bench.nanos();
      if (startAfter == null) {
        startAfter = now();
      }
    }
    if (!warned && way.isMoreThan(most.plus(TOO_FAR))) {
      warned = true;
      bench.say(
          "!! THE STOP IS FARTHER THAN IT WAS TOLD TO GO: "
              + Figures.signed(device.position().minus(before.position()))
              + ". PRESS THE EMERGENCY STOP if it still moves.");
    }
    standing(device);
  }

  private void standing(DeviceSnapshot device) {
    if (device.activeSequence() != target.seq()) {
      standingNanos = null;
      return;
    }
    if (echoAfter == null) {
      echoAfter = now();
    }
    if (!device.targetReached()) {
      standingNanos = null;
      return;
    }
    if (device.position().minus(target.position()).abs().isMoreThan(window) && earlyAt == null) {
      earlyAt = device.position();
    }
    if (standingNanos == null) {
      standingNanos = bench.nanos();
    }
    if (reachedAfter == null) {
      reachedAfter = now();
    }
  }

  private boolean isOver() {
    if (lost != null || (Boolean.FALSE.equals(accepted) && isStill(REST))) {
      return true;
    }
    Duration now = now();
    Long standing = standingNanos;
    if (accepted != null
        && standing != null
        && bench.nanos() - standing > REST.toNanos()
        && isStill(REST)) {
      return true;
    }
    if (accepted == null && now.compareTo(target.validity().plus(REST)) < 0) {
      return false;
    }
    return isStill(STILL) || now.compareTo(MOST) > 0;
  }

  private boolean isStill(Duration time) {
    return bench.nanos() - movedNanos > time.toNanos();
  }

  private MoveFacts facts(boolean sent) {
    return new MoveFacts(
        target.seq(),
        target.position(),
        window,
        before,
        last,
        sent,
        accepted,
        reason,
        answerAfter,
        echoAfter,
        startAfter,
        reachedAfter,
        earlyAt,
        farthest,
        lost);
  }
}
