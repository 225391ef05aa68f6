package org.kerftally.daemon.station;

import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.event.StationEvent.DriveBegun;
import org.kerftally.shared.event.StationEvent.DriveEnded;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.JobUnqueued;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.Replanned;

/**
 * Decides for one station: a pure function from state, senses and one input to events and effects.
 *
 * <p>Every decision runs the same steps in the same order, whatever the input was:
 *
 * <ol>
 *   <li>take the input in: what was heard, offered, planned;
 *   <li>settle the device's counter: book every cut that is not booked yet, before anything else
 *       can depend on it ({@link CutBooking});
 *   <li>settle faults ({@link FaultWatch}, {@link Stall}) and the operator's presses ({@link
 *       PressBooking});
 *   <li>go on with the work: end, start, load, replan, and at last set one target ({@link
 *       Progress});
 *   <li>say what the operator is waited for ({@link Prompts}).
 * </ol>
 *
 * <p>So a lost, doubled or late message changes nothing in the outcome: the next snapshot carries
 * the device's own totals, and what is booked is booked by key. Nothing is sent after a start, a
 * reconnect, a power-up or a fault until the operator has acknowledged at the machine ({@link
 * StationState#armed()}).
 *
 * <p>Immutable and free of side effects; any thread may call it.
 */
public final class StationCore {

  private final StationRules rules;

  /** Creates the core for one station. */
  public StationCore(StationRules rules) {
    this.rules = rules;
  }

  /**
   * Decides.
   *
   * @param state the fold of all events so far
   * @param senses what the last decision left
   * @param input what happened
   * @param now the time of the decision
   */
  public Decision decide(StationState state, Senses senses, StationInput input, Now now) {
    Turn turn = new Turn(rules, now, state, senses);
    take(turn, input);
    DeviceSnapshot snapshot = turn.snapshot();
    if (turn.state().driven() && turn.state().linkUp() && snapshot != null) {
      CutBooking.settle(turn, snapshot);
      FaultWatch.settle(turn, snapshot);
      Stall.settle(turn, snapshot);
      PressBooking.settleBeforeWork(turn, snapshot);
    }
    Progress.goOn(turn);
    if (turn.state().driven() && turn.state().linkUp() && snapshot != null) {
      PressBooking.settleAfterWork(turn, snapshot);
      Progress.goOn(turn);
    }
    Prompts.settle(turn);
    return turn.decision();
  }

  private static void take(Turn turn, StationInput input) {
    if (input instanceof StationInput.Begin begin) {
      turn.say(new DriveBegun(begin.version()));
      turn.sense(Senses.NONE);
    } else if (input instanceof StationInput.End end) {
      if (turn.state().driven()) {
        turn.say(new DriveEnded(end.reason()));
      }
      turn.sense(turn.senses().seeing(null));
    } else if (input instanceof StationInput.FromLink link) {
      if (turn.state().driven()) {
        hear(turn, link.event());
      }
    } else if (input instanceof StationInput.JobOffered offer) {
      if (isNew(turn.state(), offer.order().id())) {
        turn.say(new JobQueued(offer.order(), offer.plan()));
      }
    } else if (input instanceof StationInput.JobWithdrawn gone) {
      if (turn.state().queue().stream().anyMatch(q -> q.order().id().equals(gone.job()))) {
        turn.say(new JobUnqueued(gone.job(), gone.reason()));
      }
    } else if (input instanceof StationInput.PlanReady ready) {
      JobRun run = turn.state().run();
      if (run != null
          && run.replanWanted()
          && run.order().id().equals(ready.job())
          && run.replanNumber() == ready.number()) {
        turn.say(new Replanned(ready.job(), run.replanReason(), ready.plan()));
      }
    }
  }

  private static boolean isNew(StationState state, String job) {
    JobRun run = state.run();
    JobRun ended = state.ended();
    return state.owed().stream().noneMatch(r -> r.order().id().equals(job))
        && state.queue().stream().noneMatch(q -> q.order().id().equals(job))
        && (run == null || !run.order().id().equals(job))
        && (ended == null || !ended.order().id().equals(job));
  }

  private static void hear(Turn turn, LinkEvent event) {
    if (event instanceof LinkEvent.Up up) {
      turn.say(new LinkUp());
      PressBooking.passOverEarlyAcknowledge(turn, up.snapshot());
      turn.sense(
          turn.senses().seeing(up.snapshot()).puzzledSince(null).showing(null, Prompts.held(turn)));
    } else if (event instanceof LinkEvent.Down down) {
      if (turn.state().linkUp()) {
        turn.say(new LinkDown(down.reason()));
      }
      turn.sense(turn.senses().seeing(null).puzzledSince(null));
    } else if (event instanceof LinkEvent.Snapshot heard) {
      if (turn.state().linkUp()) {
        PressBooking.watchRemoteSwitch(turn, heard.snapshot());
        turn.sense(turn.senses().seeing(heard.snapshot()));
      }
    } else if (event instanceof LinkEvent.CutReported cut) {
      if (turn.state().linkUp()) {
        CutBooking.report(turn, cut.cut());
      }
    } else if (event instanceof LinkEvent.Replied reply) {
      Targets.answered(turn, reply);
    }
  }
}
