package org.kerftally.daemon.intake.folder;

import java.io.IOException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.job.JobOrder;

/** A cut log in memory that outlives every simulated crash: what is in it, is in it for good. */
final class FakeLog implements TakenJobs, Acceptor {

  static final Instant TAKEN_AT = Instant.parse("2027-03-01T09:15:02.117Z");

  private final List<JobOrder> orders = new ArrayList<>();
  private Function<JobOrder, Answer> decision = order -> new Answer.Taken();
  private FaultPlan faults = FaultPlan.none();

  void failAs(FaultPlan plan) {
    faults = plan;
  }

  /** Decides over jobs from now on; only what is taken enters the log. */
  void decide(Function<JobOrder, Answer> decision) {
    this.decision = decision;
  }

  List<JobOrder> orders() {
    return orders;
  }

  List<String> ids() {
    return orders.stream().map(JobOrder::id).toList();
  }

  @Override
  public Answer offer(JobOrder order) {
    try {
      faults.before("append");
    } catch (IOException e) {
      return new Answer.Later("the cut log is busy");
    }
    Answer answer = decision.apply(order);
    if (answer instanceof Answer.Taken) {
      orders.add(order);
    }
    faults.after("append");
    return answer;
  }

  @Override
  public @Nullable TakenJob bySha256(String sha256) {
    TakenJob latest = null;
    for (JobOrder order : orders) {
      if (order.sha256().equals(sha256)) {
        latest = new TakenJob(order.id(), order.file(), TAKEN_AT);
      }
    }
    return latest;
  }

  @Override
  public boolean isKnown(String id) {
    return ids().contains(id);
  }
}
