package org.kerftally.daemon.results;

import static org.kerftally.daemon.results.Jobs.cut;
import static org.kerftally.daemon.results.Jobs.cuts;
import static org.kerftally.daemon.results.Jobs.sticks;

import java.math.BigDecimal;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
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

/** Two whole jobs to show: one in millimetres, one in inches. */
final class Samples {

  static final long SIXTY_FOURTH_NM = 396_875;
  static final CutRules INCH_RULES =
      new CutRules(inches(0, 8), inches(0, 24), Length.ZERO, inches(12, 0), true);

  private Samples() {}

  /** Whole inches and 64ths of one. */
  static Length inches(long whole, long sixtyFourths) {
    return Length.ofNm((whole * 64 + sixtyFourths) * SIXTY_FOURTH_NM);
  }

  private static Cut[] join(Cut[]... groups) {
    List<Cut> all = new ArrayList<>();
    for (Cut[] group : groups) {
      all.addAll(List.of(group));
    }
    return all.toArray(Cut[]::new);
  }

  private static PlannedSticks as(
      PlannedSticks s, StickKind kind, @Nullable String label, Length trim) {
    Length rest = s.rest().plus(s.leadTrim()).minus(trim);
    return new PlannedSticks(
        s.material(),
        s.length(),
        kind,
        label,
        BigDecimal.valueOf(0.2),
        s.repeat(),
        trim,
        s.cuts(),
        rest,
        s.offcut() == null ? null : rest);
  }

  static JobOrder hiveOrder() {
    return new JobOrder(
        "comb-honey-supers.2",
        "Comb honey supers",
        "comb-honey-supers.csv",
        "00",
        LocalDate.parse("2027-03-01"),
        LengthUnit.MM,
        1,
        "saw1",
        List.of(
            Jobs.part("super side", 505, 40),
            new Part("super end", Length.ofMm(413), 40, Jobs.PINE, 1, "rebate on the inside face"),
            new Part(
                "top bar",
                Length.ofMm(483),
                28,
                Jobs.PINE,
                2,
                "keep bark side up; no knots at ends"),
            new Part("spacer", Length.ofNm(38_500_000), 60, Jobs.PINE, 3, null),
            Jobs.part("stand rail", 1180, 3),
            Jobs.part("wedge", 22, 150)));
  }

  static CutPlan hivePlan() {
    Cut spacer = new Cut("spacer", Length.ofNm(38_500_000));
    PlannedSticks flush =
        new PlannedSticks(
            Jobs.PINE,
            Length.ofNm(1_023_200_000),
            StickKind.OFFCUT,
            "saw1-14",
            BigDecimal.valueOf(0.2),
            1,
            Length.ofMm(10),
            List.of(cut("super side", 505), cut("super side", 505)),
            Length.ZERO,
            null);
    List<PlannedSticks> sticks =
        List.of(
            as(sticks(1, 900, cut("super side", 505)), StickKind.IN_SAW, null, Length.ZERO),
            sticks(9, 2440, cuts(4, cut("super side", 505))),
            sticks(3, 2440, join(cuts(2, cut("super side", 505)), cuts(3, cut("super end", 413)))),
            sticks(5, 2440, cuts(5, cut("super end", 413))),
            sticks(1, 2440, cut("stand rail", 1180), cut("stand rail", 1180)),
            as(
                sticks(1, 1850, cut("stand rail", 1180), cut("wedge", 22)),
                StickKind.OFFCUT,
                "saw1-12",
                Length.ofMm(10)),
            flush,
            sticks(7, 2440, join(cuts(4, cut("top bar", 483)), cuts(3, spacer))),
            sticks(1, 2440, join(cuts(39, spacer), cuts(30, cut("wedge", 22)))),
            sticks(
                2,
                2440,
                join(
                    cuts(2, cut("super end", 413)),
                    cuts(1, spacer),
                    cuts(6, cut("wedge", 22)),
                    cuts(1, spacer),
                    cuts(1, cut("wedge", 22)),
                    cuts(1, spacer),
                    cuts(8, cut("wedge", 22)))));
    BigDecimal cost = new BigDecimal("28.4");
    return new CutPlan(
        sticks,
        List.of(new Shortage("wedge", Jobs.PINE, Length.ofMm(22), 90)),
        cost,
        new BigDecimal("27.9"),
        false);
  }

  static Sheet.Content hive() {
    return new Sheet.Content(
        hiveOrder(),
        "saw1",
        hivePlan(),
        material -> Jobs.KERF,
        Jobs.START,
        ZoneOffset.UTC,
        "Planned anew after a piece was rejected: this sheet shows the rest of the job.");
  }

  static JobOrder greenhouseOrder() {
    return new JobOrder(
        "greenhouse-frame",
        "Greenhouse frame 8 × 12",
        "greenhouse-frame.csv",
        "00",
        null,
        LengthUnit.IN,
        1,
        null,
        List.of(
            new Part("rafter", inches(58, 24), 10, "alu-tee-1.5", 1, "mitre after cutting"),
            new Part("glazing bar", inches(47, 61), 22, "alu-tee-1.5", 1, null),
            new Part("cleat", inches(2, 32), 40, "alu-angle-1", 2, null),
            new Part("sill", inches(95, 0), 2, "alu-angle-1", 1, null)));
  }

  static Sheet.Content greenhouse() {
    Cut rafter = new Cut("rafter", inches(58, 24));
    Cut bar = new Cut("glazing bar", inches(47, 61));
    Cut cleat = new Cut("cleat", inches(2, 32));
    Cut sill = new Cut("sill", inches(95, 0));
    Length twentyFeet = inches(240, 0);
    CutPlan plan =
        Jobs.plan(
            alu(
                "alu-tee-1.5",
                sticks(5, twentyFeet, INCH_RULES, join(cuts(2, rafter), cuts(2, bar)))),
            alu("alu-tee-1.5", sticks(2, twentyFeet, INCH_RULES, cuts(4, bar))),
            alu("alu-tee-1.5", sticks(1, twentyFeet, INCH_RULES, cuts(4, bar))),
            alu(
                "alu-angle-1",
                sticks(1, twentyFeet, INCH_RULES, join(cuts(2, sill), cuts(18, cleat)))),
            alu("alu-angle-1", sticks(1, inches(80, 0), INCH_RULES, cuts(22, cleat))));
    return new Sheet.Content(
        greenhouseOrder(),
        null,
        plan,
        material -> INCH_RULES.kerf(),
        Jobs.START,
        ZoneOffset.UTC,
        null);
  }

  private static PlannedSticks alu(String material, PlannedSticks s) {
    return new PlannedSticks(
        material,
        s.length(),
        s.kind(),
        s.label(),
        s.cost(),
        s.repeat(),
        s.leadTrim(),
        s.cuts(),
        s.rest(),
        s.offcut());
  }
}
