package org.kerftally.daemon.station;

import java.util.List;
import java.util.Objects;
import org.kerftally.daemon.station.StationState.Change;
import org.kerftally.daemon.station.StationState.Counted;
import org.kerftally.daemon.station.StationState.OpenMove;
import org.kerftally.daemon.station.StationState.OpenTarget;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.event.StationEvent;
import org.kerftally.shared.event.StationEvent.Acknowledged;
import org.kerftally.shared.event.StationEvent.BootSeen;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.DefectFound;
import org.kerftally.shared.event.StationEvent.DriveBegun;
import org.kerftally.shared.event.StationEvent.DriveEnded;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.JobReopened;
import org.kerftally.shared.event.StationEvent.JobStarted;
import org.kerftally.shared.event.StationEvent.JobUnqueued;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.MoveDone;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.event.StationEvent.PauseSwitched;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.PressIgnored;
import org.kerftally.shared.event.StationEvent.ReplanWanted;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.event.StationEvent.TargetAccepted;
import org.kerftally.shared.event.StationEvent.TargetRefused;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.event.StationEvent.TargetVoided;

/**
 * Folds a station's events into its state.
 *
 * <p>The fold takes every fact from the event itself, never from the configuration: a kerf that is
 * changed in the config today must not change what was cut yesterday. An event that the decisions
 * here cannot produce is a programmer's error and throws {@link IllegalStateException}.
 */
public final class StationFold {

  private StationFold() {}

  /** Returns the state after the event. */
  public static StationState apply(StationState state, StationEvent event) {
    return state.change(
        s -> {
          if (!(foldService(s, event)
              || foldJob(s, event)
              || foldStick(s, event)
              || foldTarget(s, event)
              || foldPanel(s, event))) {
            throw new IllegalStateException("no fold for " + event.getClass().getName());
          }
        });
  }

  private static boolean foldService(Change s, StationEvent event) {
    if (event instanceof DriveBegun) {
      s.driven = true;
      s.linkUp = false;
      s.disarm();
    } else if (event instanceof DriveEnded) {
      s.driven = false;
      s.linkUp = false;
      s.disarm();
    } else if (event instanceof LinkUp) {
      s.linkUp = true;
      s.disarm();
    } else if (event instanceof LinkDown) {
      s.linkUp = false;
      s.disarm();
    } else if (event instanceof BootSeen e) {
      s.counted = new Counted(e.boot(), e.count());
      s.panel = e.panel();
      s.paused = e.panel().paused();
      s.lastSeq = Math.max(s.lastSeq, e.seqFloor());
      s.disarm();
    } else if (event instanceof FaultRaised e) {
      s.faults.put(e.code(), e.text());
      s.alarm = true;
      s.disarm();
    } else if (event instanceof FaultCleared e) {
      s.faults.remove(e.code());
    } else {
      return false;
    }
    return true;
  }

  private static boolean foldJob(Change s, StationEvent event) {
    if (event instanceof JobQueued e) {
      s.queue.add(e);
    } else if (event instanceof JobUnqueued e) {
      s.queue.removeIf(queued -> queued.order().id().equals(e.job()));
    } else if (event instanceof JobStarted e) {
      JobQueued queued =
          s.queue.stream()
              .filter(q -> q.order().id().equals(e.job()))
              .findFirst()
              .orElseThrow(() -> new IllegalStateException("job not queued: " + e.job()));
      s.queue.remove(queued);
      s.run = Runs.start(queued);
    } else if (event instanceof ReplanWanted e) {
      s.run = run(s).wantingPlan(e.reason());
    } else if (event instanceof Replanned e) {
      s.run = Runs.replan(run(s), e.plan());
    } else if (event instanceof JobEnded) {
      s.ended = run(s);
      s.run = null;
      s.dropped = null;
    } else if (event instanceof JobReopened e) {
      Runs.reopen(s, e.job());
    } else {
      return false;
    }
    return true;
  }

  private static boolean foldStick(Change s, StationEvent event) {
    if (event instanceof StickLoaded e) {
      s.run = Runs.load(run(s), e);
      s.dropped = null;
      if (e.presses() >= 0) {
        s.panel = Presses.stickLoaded(s.panel, e.presses());
      }
    } else if (event instanceof StickDone e) {
      s.run = run(s).withStick(null);
      s.dropped = null;
      if (e.offcut() != null) {
        s.offcuts++;
      }
    } else if (event instanceof CutBooked e) {
      Runs.book(s, e);
    } else if (event instanceof PieceRemained e) {
      Runs.remain(s, e);
    } else if (event instanceof PieceRejected e) {
      s.panel = Presses.rejected(s.panel, e.presses());
      Runs.reject(s);
    } else if (event instanceof DefectFound e) {
      s.panel = Presses.defects(s.panel, e.presses());
      JobRun run = run(s);
      StickInSaw stick = Objects.requireNonNull(run.stick(), "a defect in no stick");
      s.run = run.withStick(stick.leaving(stick.left().min(e.sound()), stick.lastPosition()));
    } else {
      return false;
    }
    return true;
  }

  private static boolean foldTarget(Change s, StationEvent event) {
    if (event instanceof TargetSet e) {
      s.target = new OpenTarget(e, false);
      s.lastSeq = Math.max(s.lastSeq, e.seq());
      s.cutAt = null;
      s.parked = false;
    } else if (event instanceof MoveSet e) {
      s.move = new OpenMove(e, false, false);
      s.lastSeq = Math.max(s.lastSeq, e.seq());
      s.parked |= e.move() == StopMove.PARK;
    } else if (event instanceof MoveDone e) {
      OpenMove move = s.moveOf(e.seq());
      if (move != null) {
        s.move = move.ended();
        s.cutAt = null;
      }
    } else if (event instanceof TargetAccepted e) {
      OpenTarget open = s.target;
      OpenMove move = s.moveOf(e.seq());
      if (move != null) {
        s.move = move.taken();
      } else if (open != null) {
        s.target = new OpenTarget(open.set(), true);
      }
      s.misses = 0;
    } else if (event instanceof TargetRefused e) {
      OpenMove move = s.moveOf(e.seq());
      if (move != null) {
        miss(s, move);
      } else {
        s.target = null;
        s.misses++;
      }
    } else if (event instanceof TargetVoided e) {
      OpenTarget open = s.target;
      OpenMove move = s.moveOf(e.seq());
      if (move != null) {
        miss(s, move);
      } else {
        s.dropped = open;
        s.misses += open == null || open.answered() ? 0 : 1;
        s.target = null;
      }
    } else {
      return false;
    }
    return true;
  }

  /** What keeps the stop from parking is no reason to hold the next job. */
  private static void miss(Change s, OpenMove move) {
    s.move = move.ended();
    s.misses += move.answered() || move.set().move() == StopMove.PARK ? 0 : 1;
  }

  private static boolean foldPanel(Change s, StationEvent event) {
    if (event instanceof Acknowledged e) {
      s.armed = true;
      s.alarm = false;
      s.misses = 0;
      if (e.presses() >= 0) {
        s.panel = Presses.acknowledged(s.panel, e.presses());
      }
    } else if (event instanceof PauseSwitched e) {
      s.paused = e.on();
    } else if (event instanceof PressIgnored e) {
      s.panel = Presses.taken(s.panel, e.button(), e.presses());
    } else {
      return false;
    }
    return true;
  }

  private static JobRun run(Change s) {
    return Objects.requireNonNull(s.run, "no job is being cut");
  }

  /** Folds a whole list, in order. */
  public static StationState applyAll(StationState state, List<? extends StationEvent> events) {
    StationState now = state;
    for (StationEvent event : events) {
      now = apply(now, event);
    }
    return now;
  }
}
