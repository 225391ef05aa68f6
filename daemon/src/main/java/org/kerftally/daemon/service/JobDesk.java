package org.kerftally.daemon.service;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.kerftally.daemon.cutlog.EventLog;
import org.kerftally.daemon.intake.ShopFacts;
import org.kerftally.daemon.intake.folder.Acceptor.Answer;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.problem.Problem;

/**
 * Takes jobs: picks the station, plans, writes the job to the log, and hands it over.
 *
 * <p>A job is taken when its {@code JobTaken} is on disk. Everything after that is done again from
 * the log on the next start. Called from the intake's thread alone.
 */
public final class JobDesk {

  private final EventLog log;
  private final StockDesk stock;
  private final PlanDesk plans;
  private final List<StationOwner> owners;

  /** Makes the desk of a site. */
  public JobDesk(EventLog log, StockDesk stock, PlanDesk plans, List<StationOwner> owners) {
    this.log = log;
    this.stock = stock;
    this.plans = plans;
    this.owners = List.copyOf(owners);
  }

  /** Returns what jobs are checked against now. */
  public ShopFacts facts() {
    return new SiteFacts(
        owners.stream().map(StationOwner::setup).toList(), stock.ledger().toHand());
  }

  /**
   * Takes a checked job.
   *
   * @param order the job order
   * @param replaces the id of the job's former revision, or the empty text; it is taken out of its
   *     queue unless it was started
   * @throws org.kerftally.daemon.cutlog.CutLogException when it could not be written; see there
   *     whether to try again
   */
  public Answer take(JobOrder order, String replaces) {
    List<Problem> problems = new ArrayList<>();
    Optional<StationOwner> station = station(order, problems);
    if (station.isEmpty()) {
      return new Answer.Refused(problems);
    }
    StationOwner owner = station.get();
    PlanDesk.First first = plans.first(order.id(), owner.setup(), order.parts());
    if (first instanceof PlanDesk.First.StockInMotion) {
      return new Answer.Later("other jobs take the stock while this one is planned");
    }
    if (first instanceof PlanDesk.First.Unplannable no) {
      return refused(order, "this job cannot be planned: " + no.reason(), no.mend());
    }
    CutPlan plan = ((PlanDesk.First.Claimed) first).plan();
    if (plan.sticks().isEmpty()) {
      return refused(
          order,
          "no part of this job can be cut from the stock that is free now",
          "add sticks to stock.csv, then drop the file again");
    }
    log.append(null, List.of(new JobTaken(order, owner.name(), plan)));
    if (!replaces.isEmpty()) {
      owners.forEach(
          o -> o.put(new StationInput.JobWithdrawn(replaces, "replaced by " + order.id())));
    }
    owner.put(new StationInput.JobOffered(order, plan));
    return new Answer.Taken();
  }

  private static Answer refused(JobOrder order, String message, String hint) {
    return new Answer.Refused(List.of(new Problem(order.file(), 0, null, message, hint)));
  }

  private Optional<StationOwner> station(JobOrder order, List<Problem> problems) {
    List<StationOwner> able = new ArrayList<>();
    for (StationOwner owner : owners) {
      if (order.station() == null || order.station().equals(owner.name())) {
        List<Part> out = owner.setup().request(order.parts(), List.of()).unreachableParts();
        if (out.isEmpty()) {
          able.add(owner);
        } else {
          problems.add(unreachable(order, owner, out.get(0)));
        }
      }
    }
    if (able.isEmpty()) {
      if (problems.isEmpty()) {
        problems.add(
            new Problem(
                order.file(),
                0,
                "station",
                "there is no station \"" + order.station() + "\"",
                "write one of " + owners.stream().map(StationOwner::name).toList()));
      }
      return Optional.empty();
    }
    problems.clear();
    return able.stream().min(Comparator.comparingInt(o -> load(o.view())));
  }

  private static int load(StationView view) {
    return view.waiting() + (view.job() == null ? 0 : 1);
  }

  private static Problem unreachable(JobOrder order, StationOwner owner, Part part) {
    var travel = owner.setup().rules().travel();
    return new Problem(
        order.file(),
        0,
        "length",
        "station "
            + owner.name()
            + " cannot reach "
            + part.length()
            + " for \""
            + part.name()
            + "\": its stop travels from "
            + travel.min()
            + " to "
            + travel.max(),
        "change the length, or name another station in the header");
  }
}
