package org.kerftally.daemon.conformance;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.length.Length;

/** Steps about what comes back: a connection, a device. Nothing is sent in them or after them. */
final class ReturnSteps {

  private static final Duration CONNECT = Duration.ofSeconds(60);

  /** How long a stop is watched that must not move by itself. */
  private static final Duration WATCH = Duration.ofSeconds(3);

  private final Session session;
  private final WiringConfig wiring;

  ReturnSteps(Session session) {
    this.session = session;
    this.wiring = session.station.link().wiring();
  }

  void run() throws InterruptedException {
    session.stop("the connection was made anew since");
    strokeAndReconnect();
    reconnect();
    reboot();
  }

  private boolean comesBack() throws InterruptedException {
    session.rig.say("    dropping the connection and making a new one");
    session.rig.reconnect();
    long until = session.rig.nanos() + CONNECT.toNanos();
    for (long left = CONNECT.toNanos(); left > 0; left = until - session.rig.nanos()) {
      if (session.hear(Duration.ofNanos(left)) instanceof LinkEvent.Up) {
        return true;
      }
    }
    return false;
  }

  private void strokeAndReconnect() throws InterruptedException {
    PointConfig count = wiring.signals().get(Signal.CUT_COUNT);
    if (count != null && count.count() != null) {
      session.skip(
          Step.STROKE_RECONNECT,
          "Kerftally itself counts a bit: strokes made while the link is away are not counted");
      return;
    }
    if (session.isDown()) {
      session.skip(Step.STROKE_RECONNECT, "the link was lost");
      return;
    }
    CountSteps.@Nullable Stroke stroke = new CountSteps(session).stroke(null);
    if (stroke == null) {
      session.skip(Step.STROKE_RECONNECT, session.unanswered());
      return;
    }
    DeviceSnapshot before = session.device();
    if (!comesBack()) {
      session.fail(Step.STROKE_RECONNECT, "the device did not come back within 60 s");
      return;
    }
    List<String> wrong = new ArrayList<>(stroke.count());
    wrong.addAll(otherwise(before));
    session.judge(
        Step.STROKE_RECONNECT,
        wrong,
        stroke.seen() + "; after the new connection count " + session.device().cutCount());
  }

  private void counts(DeviceSnapshot before, DeviceSnapshot after, List<String> wrong) {
    if (after.cutCount() != before.cutCount()) {
      wrong.add("CutCount was " + before.cutCount() + " and is " + after.cutCount());
    }
    LastCut was = before.lastCut();
    LastCut is = after.lastCut();
    if (!wiring.lacks(Signal.LAST_CUT_COUNT) && !wiring.lacks(Signal.BOOT_ID) && !same(was, is)) {
      wrong.add("the last cut was " + words(was) + " and is " + words(is));
    }
  }

  /** Times apart: a protocol may carry them with less detail. */
  private static boolean same(@Nullable LastCut one, @Nullable LastCut other) {
    if (one == null || other == null) {
      return one == null && other == null;
    }
    return one.boot().equals(other.boot())
        && one.count() == other.count()
        && one.seq() == other.seq()
        && one.position().equals(other.position());
  }

  private static String words(@Nullable LastCut cut) {
    return cut == null
        ? "none"
        : "count " + cut.count() + ", number " + cut.seq() + ", " + Figures.mm(cut.position());
  }

  private void reconnect() throws InterruptedException {
    DeviceSnapshot before = session.device();
    if (!comesBack()) {
      session.fail(Step.RECONNECT, "the device did not come back within 60 s");
      return;
    }
    List<String> wrong = otherwise(before);
    session.judge(
        Step.RECONNECT,
        wrong,
        "boot, count and number as before; stands at " + Figures.mm(session.device().position()));
  }

  /** Watches the device after a new connection; returns what is not as it was before. */
  private List<String> otherwise(DeviceSnapshot before) throws InterruptedException {
    DeviceSnapshot first = session.device();
    Length strayed = first.position().minus(before.position()).abs().max(session.strayed(WATCH));
    List<String> wrong = new ArrayList<>();
    if (strayed.isMoreThan(session.station.window())) {
      wrong.add("THE STOP MOVED by " + Figures.mm(strayed));
    }
    counts(before, session.device(), wrong);
    if (!wiring.lacks(Signal.BOOT_ID) && !first.boot().equals(before.boot())) {
      wrong.add("BootId was \"" + before.boot() + "\" and is \"" + first.boot() + "\"");
    }
    if (!wiring.lacks(Signal.ACTIVE_SEQUENCE)
        && first.activeSequence() != before.activeSequence()) {
      wrong.add(
          "ActiveSequence was " + before.activeSequence() + " and is " + first.activeSequence());
    }
    return wrong;
  }

  private void reboot() throws InterruptedException {
    if (session.standsIn(Step.REBOOT, Signal.BOOT_ID)) {
      return;
    }
    if (session.isDown()) {
      session.skip(Step.REBOOT, "the link was lost");
      return;
    }
    DeviceSnapshot before = session.device();
    boolean came =
        session.ask(
            "Power the device off and on again. It must not move when it comes back.",
            Prompt.Kind.CLEAR_MACHINE,
            d -> !d.boot().equals(before.boot()));
    if (!came) {
      reappearedUnchanged(before);
      return;
    }
    DeviceSnapshot first = session.device();
    Length strayed = session.strayed(WATCH);
    DeviceSnapshot after = session.device();
    List<String> wrong = new ArrayList<>();
    if (first.boot().isBlank()) {
      wrong.add("BootId is empty");
    }
    if (strayed.isMoreThan(session.station.window())) {
      wrong.add("THE STOP MOVED by " + Figures.mm(strayed) + " by itself");
    }
    if (after.cutCount() != before.cutCount() && after.cutCount() != 0) {
      wrong.add(
          "CutCount was "
              + before.cutCount()
              + " and is "
              + after.cutCount()
              + ": neither kept nor 0");
    }
    if (!wiring.lacks(Signal.ACTIVE_SEQUENCE)
        && session.isContract()
        && after.activeSequence() != 0) {
      wrong.add("ActiveSequence is " + after.activeSequence() + ", expected 0 after a power-up");
    }
    session.judge(
        Step.REBOOT,
        wrong,
        "new boot \""
            + after.boot()
            + "\", count "
            + (after.cutCount() == before.cutCount() ? "kept at " : "from ")
            + after.cutCount()
            + ", nothing moved");
  }

  /** A device that went away and came back under its old boot id has broken the rule. */
  private void reappearedUnchanged(DeviceSnapshot before) {
    if (session.wasDownSince() && !session.isDown()) {
      session.fail(
          Step.REBOOT, "the link went and came back, BootId is still \"" + before.boot() + "\"");
    } else {
      session.skip(Step.REBOOT, session.unanswered());
    }
  }
}
