package org.kerftally.daemon.station;

import java.util.ArrayList;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.station.StationState.Counted;
import org.kerftally.daemon.station.StationState.MadePart;
import org.kerftally.daemon.station.StationState.OpenTarget;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.event.StationEvent.Acknowledged;
import org.kerftally.shared.event.StationEvent.DefectFound;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.JobReopened;
import org.kerftally.shared.event.StationEvent.PauseSwitched;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PressIgnored;
import org.kerftally.shared.event.StationEvent.ReplanWanted;
import org.kerftally.shared.event.StationEvent.TargetVoided;
import org.kerftally.shared.length.Length;

/**
 * Books what the operator pressed: each press once, from the panel's totals, and only what it can
 * mean in the present state. A press without a meaning is noted and changes nothing.
 *
 * <p>Rejections and defects are about cuts already booked and so are settled before the work goes
 * on; "stick loaded" answers a wish that the work may just have made and so is settled after it.
 */
final class PressBooking {

  private PressBooking() {}

  /** Settles what is about pieces and sticks already there, and the pause switch. */
  static void settleBeforeWork(Turn turn, DeviceSnapshot snapshot) {
    OperatorPanel panel = snapshot.panel();
    if (panel.paused() != turn.state().paused()) {
      turn.say(new PauseSwitched(panel.paused()));
    }
    if (panel.rejected() > turn.state().panel().rejected()) {
      reject(turn, panel.rejected());
    }
    if (panel.defects() > turn.state().panel().defects()) {
      defect(turn, panel.defects(), panel.defectAt());
    }
  }

  /** Settles "stick loaded" and "acknowledge". */
  static void settleAfterWork(Turn turn, DeviceSnapshot snapshot) {
    OperatorPanel panel = snapshot.panel();
    if (panel.acknowledged() > turn.state().panel().acknowledged()) {
      acknowledge(turn, snapshot, panel.acknowledged());
      Progress.goOn(turn);
    }
    long loaded = panel.stickLoaded();
    if (loaded > turn.state().panel().stickLoaded()) {
      if (Progress.waitsForStick(turn) && !turn.rules.assumeStick()) {
        Progress.load(turn, panel.stickLength(), loaded);
      } else {
        turn.say(new PressIgnored(Presses.STICK_LOADED, loaded));
      }
    }
  }

  /**
   * Takes an acknowledge that was pressed before the link was back as meaning nothing: nobody was
   * asked, and whoever pressed it may be gone by the time that the stop would move.
   */
  static void passOverEarlyAcknowledge(Turn turn, DeviceSnapshot snapshot) {
    Counted counted = turn.state().counted();
    long total = snapshot.panel().acknowledged();
    if (counted != null
        && counted.boot().equals(snapshot.boot())
        && total > turn.state().panel().acknowledged()) {
      turn.say(new PressIgnored(Presses.ACKNOWLEDGED, total));
    }
  }

  /** Takes remote switched off and on again as an acknowledge where the config says so. */
  static void watchRemoteSwitch(Turn turn, DeviceSnapshot next) {
    DeviceSnapshot before = turn.snapshot();
    if (turn.rules.remoteSwitchAcknowledges()
        && before != null
        && before.boot().equals(next.boot())
        && !before.remoteAllowed()
        && next.remoteAllowed()) {
      acknowledge(turn, next, -1);
    }
  }

  private static void reject(Turn turn, long total) {
    MadePart last = turn.state().lastMade();
    if (last == null) {
      turn.say(new PressIgnored(Presses.REJECTED, total));
      return;
    }
    turn.say(new PieceRejected(total, last.boot(), last.count(), last.job(), last.key().name()));
    JobRun run = turn.state().run();
    JobRun ended = turn.state().ended();
    if (run != null && run.order().id().equals(last.job())) {
      turn.say(new ReplanWanted(last.job(), "a piece was rejected"));
    } else if (run == null && ended != null && ended.order().id().equals(last.job())) {
      turn.say(new JobReopened(last.job()));
      turn.say(new ReplanWanted(last.job(), "the last piece was rejected"));
    }
  }

  private static void defect(Turn turn, long total, @Nullable Length sound) {
    JobRun run = turn.state().run();
    StickInSaw stick = run == null ? null : run.stick();
    if (run == null || stick == null) {
      turn.say(new PressIgnored(Presses.DEFECT, total));
      return;
    }
    OpenTarget open = turn.state().target();
    if (open != null) {
      turn.say(new TargetVoided(open.set().seq(), "the stick has a defect"));
    }
    Length good = sound == null ? Length.ZERO : sound.max(Length.ZERO);
    turn.say(new DefectFound(total, stick.number(), good));
    turn.say(new ReplanWanted(run.order().id(), "the stick has a defect"));
  }

  /**
   * Arms the station when the device is ready; what was asked before and is not standing at the
   * machine any more becomes void first.
   */
  private static void acknowledge(Turn turn, DeviceSnapshot snapshot, long total) {
    for (String code : new ArrayList<>(turn.state().faults().keySet())) {
      if (FaultWatch.OURS.contains(code)) {
        turn.say(new FaultCleared(code));
      }
    }
    boolean ready =
        turn.state().faults().isEmpty()
            && snapshot.faultCode() == 0
            && snapshot.homingAttained()
            && snapshot.enabled()
            && snapshot.remoteAllowed();
    if (!ready || turn.state().armed()) {
      if (total >= 0) {
        turn.say(new PressIgnored(Presses.ACKNOWLEDGED, total));
      }
      return;
    }
    OpenTarget open = turn.state().target();
    if (open != null) {
      boolean standing =
          snapshot.activeSequence() == Objects.requireNonNull(open).set().seq()
              && snapshot.targetReached();
      if (standing && !open.answered()) {
        turn.say(new org.kerftally.shared.event.StationEvent.TargetAccepted(open.set().seq()));
      } else if (!standing) {
        turn.say(
            new TargetVoided(
                open.set().seq(), "not standing at the machine after the interruption"));
      }
    }
    Moves.giveUp(turn);
    turn.say(new Acknowledged(total));
  }
}
