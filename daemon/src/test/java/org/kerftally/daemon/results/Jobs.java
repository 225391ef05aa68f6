package org.kerftally.daemon.results;

import java.math.BigDecimal;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.StickKind;

/** Jobs, plans and events to test with: a workshop that makes beehive woodware. */
final class Jobs {

  static final String SAW = "saw1";
  static final String PINE = "pine-19x146";
  static final Length KERF = Length.ofNm(3_200_000);
  static final CutRules RULES =
      new CutRules(KERF, Length.ofMm(10), Length.ZERO, Length.ofMm(300), true);
  static final Instant START = Instant.parse("2027-03-01T09:15:00Z");

  private Jobs() {}

  static Part part(String name, long mm, int quantity) {
    return new Part(name, Length.ofMm(mm), quantity, PINE, 1, null);
  }

  static JobOrder order(String id, LengthUnit unit, Part... parts) {
    return new JobOrder(
        id,
        "Job " + id,
        id + ".csv",
        "00",
        LocalDate.parse("2027-03-05"),
        unit,
        1,
        null,
        List.of(parts));
  }

  static JobOrder order(String id, Part... parts) {
    return order(id, LengthUnit.MM, parts);
  }

  static CutPlan plan(PlannedSticks... sticks) {
    BigDecimal cost =
        List.of(sticks).stream()
            .map(s -> s.cost().multiply(BigDecimal.valueOf(s.repeat())))
            .reduce(BigDecimal.ZERO, BigDecimal::add);
    return new CutPlan(List.of(sticks), List.of(), cost, cost, true);
  }

  static CutPlan shortPlan(List<Shortage> shortages, PlannedSticks... sticks) {
    CutPlan plan = plan(sticks);
    return new CutPlan(plan.sticks(), shortages, plan.cost(), plan.bound(), true);
  }

  /** Sticks whose rest follows from the rules. */
  static PlannedSticks sticks(int repeat, Length length, CutRules rules, Cut... cuts) {
    Length sum = Length.ZERO;
    for (Cut cut : cuts) {
      sum = sum.plus(cut.length());
    }
    Length rest = rules.remainder(length, rules.leadTrim(), sum, cuts.length).max(Length.ZERO);
    return new PlannedSticks(
        PINE,
        length,
        StickKind.NEW,
        null,
        BigDecimal.ONE,
        repeat,
        rules.leadTrim(),
        List.of(cuts),
        rest,
        rules.worthKeeping(rest) ? rest : null);
  }

  static PlannedSticks sticks(int repeat, long mm, Cut... cuts) {
    return sticks(repeat, Length.ofMm(mm), RULES, cuts);
  }

  static Cut cut(String part, long mm) {
    return new Cut(part, Length.ofMm(mm));
  }

  static Cut[] cuts(int times, Cut cut) {
    Cut[] cuts = new Cut[times];
    java.util.Arrays.fill(cuts, cut);
    return cuts;
  }

  /** Makes recorded events with growing ids, one second apart. */
  static final class Log {
    final List<Recorded> all = new ArrayList<>();
    private long count;

    Recorded say(@Nullable String station, Event event) {
      long id = all.size() + 1L;
      Recorded recorded = new Recorded(id, START.plusSeconds(id), station, event);
      all.add(recorded);
      return recorded;
    }

    Recorded taken(JobOrder order, CutPlan plan) {
      return say(null, new JobTaken(order, SAW, plan));
    }

    Recorded loaded(String job, int stick, PlannedSticks planned) {
      return say(SAW, new StickLoaded(job, stick, planned.single(), planned.length(), stick));
    }

    Recorded made(String job, int stick, String part, Length length, Length left) {
      return say(SAW, booked(CutKind.PART, job, stick, part, length, left));
    }

    Recorded booked(CutKind kind) {
      return say(SAW, booked(kind, null, 0, null, null, null));
    }

    CutBooked booked(
        CutKind kind,
        @Nullable String job,
        int stick,
        @Nullable String part,
        @Nullable Length wanted,
        @Nullable Length left) {
      count++;
      return new CutBooked(
          "b1", count, kind, count, job, part, stick, wanted, wanted, wanted, null, null, left);
    }

    long lastCount() {
      return count;
    }
  }
}
