package org.kerftally.daemon.planning;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.function.UnaryOperator;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.StickKind;

/** Breaks a good plan in every way there is and sees the checker name the fault. */
class PlanCheckerTest {

  private final PlanRequest request =
      new Requests()
          .rules(Requests.rules(3, 10, 0, false))
          .part("super side", 505, 6)
          .part("super end", 413, 5)
          .sticks(2440, 5, "12")
          .sticks(1200, 1, "1", StickKind.OFFCUT, "R0001")
          .request();
  private final CutPlan good = new Planner().plan(request, () -> false);

  /** The parts of a stick that a test may break. */
  private record Broken(
      Length length,
      StickKind kind,
      @Nullable String label,
      BigDecimal cost,
      int repeat,
      Length trim,
      List<Cut> cuts,
      Length rest,
      @Nullable Length offcut) {

    static Broken of(PlannedSticks s) {
      return new Broken(
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

    PlannedSticks sticks(String material) {
      return new PlannedSticks(
          material, length, kind, label, cost, repeat, trim, cuts, rest, offcut);
    }
  }

  private CutPlan withFirst(UnaryOperator<Broken> breakage) {
    List<PlannedSticks> sticks = new ArrayList<>(good.sticks());
    PlannedSticks first =
        sticks.stream().filter(s -> s.kind() == StickKind.OFFCUT).findFirst().orElseThrow();
    sticks.set(sticks.indexOf(first), breakage.apply(Broken.of(first)).sticks(first.material()));
    return withSticks(sticks);
  }

  private CutPlan withSticks(List<PlannedSticks> sticks) {
    return new CutPlan(sticks, good.shortages(), good.cost(), good.bound(), good.proven());
  }

  private void rejects(CutPlan plan, String fault) {
    assertThat(PlanChecker.faults(request, plan)).anyMatch(text -> text.contains(fault));
  }

  @Test
  void findsNothingWrongWithAGoodPlan() {
    assertThat(PlanChecker.faults(request, good)).isEmpty();
    assertThat(good.sticks()).extracting(PlannedSticks::kind).contains(StickKind.OFFCUT);
    assertThat(good.sticks()).hasSizeGreaterThan(1);
  }

  @Test
  void rejectsAPatternThatDoesNotFit() {
    rejects(
        withFirst(
            b ->
                new Broken(
                    Length.ofMm(300),
                    b.kind,
                    b.label,
                    b.cost,
                    b.repeat,
                    b.trim,
                    b.cuts,
                    b.rest,
                    b.offcut)),
        "does not fit");
  }

  @Test
  void rejectsAStickThatIsNotInStock() {
    rejects(
        withFirst(
            b ->
                new Broken(
                    Length.ofMm(1201),
                    b.kind,
                    b.label,
                    b.cost,
                    b.repeat,
                    b.trim,
                    b.cuts,
                    b.rest,
                    b.offcut)),
        "is not in stock");
    rejects(
        withFirst(
            b ->
                new Broken(
                    b.length, b.kind, "R0002", b.cost, b.repeat, b.trim, b.cuts, b.rest, b.offcut)),
        "is not in stock");
  }

  @Test
  void rejectsMoreSticksThanThereAre() {
    rejects(
        withFirst(
            b ->
                new Broken(b.length, b.kind, b.label, b.cost, 2, b.trim, b.cuts, b.rest, b.offcut)),
        "2 used, 1 in stock");
  }

  @Test
  void rejectsAStickWithoutTurnsOrCuts() {
    rejects(
        withFirst(
            b ->
                new Broken(b.length, b.kind, b.label, b.cost, 0, b.trim, b.cuts, b.rest, b.offcut)),
        "repeated 0 times");
    rejects(
        withFirst(
            b ->
                new Broken(
                    b.length, b.kind, b.label, b.cost, b.repeat, b.trim, List.of(), b.rest,
                    b.offcut)),
        "nothing is cut");
  }

  @Test
  void rejectsAWrongLeadTrim() {
    rejects(
        withFirst(
            b ->
                new Broken(
                    b.length,
                    b.kind,
                    b.label,
                    b.cost,
                    b.repeat,
                    Length.ZERO,
                    b.cuts,
                    b.rest,
                    b.offcut)),
        "lead trim should be 10 mm");
  }

  @Test
  void rejectsARestOrOffcutThatIsNotWhatRemains() {
    rejects(
        withFirst(
            b ->
                new Broken(
                    b.length,
                    b.kind,
                    b.label,
                    b.cost,
                    b.repeat,
                    b.trim,
                    b.cuts,
                    b.rest.plus(Length.ofNm(1)),
                    b.offcut)),
        " remain");
    rejects(
        withFirst(
            b ->
                new Broken(
                    b.length,
                    b.kind,
                    b.label,
                    b.cost,
                    b.repeat,
                    b.trim,
                    b.cuts,
                    b.rest,
                    Length.ofMm(299))),
        "offcut should be");
  }

  @Test
  void rejectsPartsMissingDoubledOrUnheardOf() {
    rejects(withSticks(good.sticks().subList(1, good.sticks().size())), "neither planned nor");
    rejects(
        withFirst(
            b ->
                new Broken(
                    b.length,
                    b.kind,
                    b.label,
                    b.cost,
                    b.repeat,
                    b.trim,
                    List.of(new Cut("lid", Length.ofMm(40))),
                    b.rest,
                    b.offcut)),
        "more planned or short than wanted");
    CutPlan doubled =
        new CutPlan(
            good.sticks(),
            List.of(new Shortage("super end", Requests.MATERIAL, Length.ofMm(413), 1)),
            good.cost(),
            good.bound(),
            good.proven());
    rejects(doubled, "more planned or short than wanted");
  }

  @Test
  void rejectsACostThatIsNotTheSum() {
    BigDecimal more = good.cost().add(BigDecimal.ONE);
    rejects(
        new CutPlan(good.sticks(), good.shortages(), more, good.bound(), false), "the sticks cost");
    rejects(
        withFirst(
            b ->
                new Broken(
                    b.length,
                    b.kind,
                    b.label,
                    BigDecimal.ZERO,
                    b.repeat,
                    b.trim,
                    b.cuts,
                    b.rest,
                    b.offcut)),
        "is not in stock");
  }

  @Test
  void rejectsABoundOrProofThatCannotBe() {
    BigDecimal more = good.cost().add(BigDecimal.ONE);
    BigDecimal less = good.cost().subtract(BigDecimal.ONE);
    rejects(
        new CutPlan(good.sticks(), good.shortages(), good.cost(), more, false), "above the cost");
    rejects(
        new CutPlan(good.sticks(), good.shortages(), good.cost(), less, true),
        "with bound below cost");
    rejects(
        new CutPlan(good.sticks(), good.shortages(), good.cost(), good.cost(), false),
        "with bound at cost");
    rejects(
        new CutPlan(good.sticks(), good.shortages(), good.cost(), BigDecimal.ONE.negate(), false),
        "below zero");
  }

  @Test
  void rejectsEqualSticksApart() {
    List<PlannedSticks> twice = new ArrayList<>(good.sticks());
    twice.add(twice.get(twice.size() - 1));
    rejects(withSticks(twice), "is listed twice");
  }

  @Test
  void rejectsTheStickInTheSawWhenItIsNotCutFirst() {
    PlannedSticks first = good.sticks().get(0);
    Broken last = Broken.of(first);
    List<PlannedSticks> sticks = new ArrayList<>(good.sticks());
    sticks.add(
        new Broken(
                last.length,
                StickKind.IN_SAW,
                null,
                last.cost,
                1,
                Length.ZERO,
                last.cuts,
                last.rest,
                last.offcut)
            .sticks(first.material()));
    rejects(withSticks(sticks), "is not cut first");
  }
}
