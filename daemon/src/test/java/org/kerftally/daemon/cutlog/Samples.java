package org.kerftally.daemon.cutlog;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.Shortage;

/** Events and orders that tests use where any will do. */
final class Samples {

  static final Instant NOON = Instant.parse("2027-03-01T12:00:00Z");

  private Samples() {}

  /** Returns a good super side cut for the job {@code supers}. */
  static CutBooked cut(String boot, long count) {
    return cut(boot, count, "supers", "super side");
  }

  /** Returns a good part of 505 mm. */
  static CutBooked cut(String boot, long count, String job, String part) {
    Length length = Length.ofMm(505);
    return new CutBooked(
        boot, count, CutKind.PART, count, job, part, 1, length, length, length, null, null, null);
  }

  /** Returns an order of these parts. */
  static JobOrder order(String id, Part... parts) {
    return new JobOrder(
        id, id, id + ".csv", "ab".repeat(32), null, LengthUnit.MM, 1, null, List.of(parts));
  }

  /** Returns a part of pine. */
  static Part part(String name, int mm, int quantity) {
    return new Part(name, Length.ofMm(mm), quantity, "pine-19x146", 1, null);
  }

  /** Returns a plan with no stick that lacks these. */
  static CutPlan plan(Shortage... shortages) {
    return new CutPlan(List.of(), List.of(shortages), BigDecimal.ZERO, BigDecimal.ZERO, true);
  }
}
