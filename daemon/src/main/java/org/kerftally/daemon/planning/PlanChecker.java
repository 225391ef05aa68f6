package org.kerftally.daemon.planning;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Checks a plan against its request from scratch, sharing nothing with what made it.
 *
 * <p>Simple on purpose: every rule is stated once, in lengths and decimals, without regard to
 * speed. What it cannot check is that the bound is safe and that no more parts could be made.
 */
public final class PlanChecker {

  private final PlanRequest request;
  private final CutPlan plan;
  private final List<String> faults = new ArrayList<>();

  private record Key(String part, @Nullable String material, Length length) {}

  private PlanChecker(PlanRequest request, CutPlan plan) {
    this.request = request;
    this.plan = plan;
  }

  /** Returns everything that is wrong with a plan, in plain words; empty when nothing is. */
  public static List<String> faults(PlanRequest request, CutPlan plan) {
    PlanChecker checker = new PlanChecker(request, plan);
    plan.sticks().forEach(checker::checkSticks);
    checker.checkParts();
    checker.checkStock();
    checker.checkCost();
    checker.checkOrder();
    return List.copyOf(checker.faults);
  }

  private void checkSticks(PlannedSticks sticks) {
    CutRules rules = request.rules(sticks.material());
    Length trim = sticks.kind() == StickKind.IN_SAW ? Length.ZERO : rules.leadTrim();
    expect(sticks.repeat() >= 1, sticks, "repeated " + sticks.repeat() + " times");
    expect(!sticks.cuts().isEmpty(), sticks, "nothing is cut from it");
    expect(sticks.leadTrim().equals(trim), sticks, "lead trim should be " + trim);
    Length sum = Length.ZERO;
    for (Cut cut : sticks.cuts()) {
      sum = sum.plus(cut.length());
    }
    Length remainder = rules.remainder(sticks.length(), trim, sum, sticks.cuts().size());
    expect(rules.fits(remainder), sticks, "does not fit, " + remainder + " would remain");
    Length rest = remainder.isNegative() ? Length.ZERO : remainder;
    expect(sticks.rest().equals(rest), sticks, rest + " remain");
    Length offcut = rules.worthKeeping(remainder) ? remainder : null;
    boolean same = offcut == null ? sticks.offcut() == null : offcut.equals(sticks.offcut());
    expect(same, sticks, "offcut should be " + offcut);
  }

  private void checkParts() {
    Map<Key, Long> open = new HashMap<>();
    for (Part part : request.parts()) {
      Key key = new Key(part.name(), request.stockMaterial(part), part.length());
      open.merge(key, (long) part.quantity(), Long::sum);
    }
    for (PlannedSticks sticks : plan.sticks()) {
      for (Cut cut : sticks.cuts()) {
        Key key = new Key(cut.part(), sticks.material(), cut.length());
        open.merge(key, (long) -sticks.repeat(), Long::sum);
      }
    }
    for (Shortage shortage : plan.shortages()) {
      expect(shortage.missing() >= 1, shortage, "is no shortage");
      Part like = new Part(shortage.part(), shortage.length(), 1, shortage.material(), 1, null);
      Key key = new Key(shortage.part(), request.stockMaterial(like), shortage.length());
      open.merge(key, (long) -shortage.missing(), Long::sum);
    }
    open.forEach(
        (key, left) -> {
          expect(left <= 0, key, left + " neither planned nor listed as short");
          expect(left >= 0, key, -left + " more planned or short than wanted");
        });
  }

  /** Counts each sort of stick: the same length, kind and label of a material. */
  private void checkStock() {
    Map<StockItem, Long> used = new HashMap<>();
    for (PlannedSticks sticks : plan.sticks()) {
      used.merge(sort(sticks), (long) sticks.repeat(), Long::sum);
    }
    used.forEach(
        (sort, number) -> {
          List<StockItem> there =
              request.stock().stream().filter(item -> sort(item).equals(sort)).toList();
          expect(!there.isEmpty(), sort, "is not in stock");
          boolean counted = there.stream().allMatch(item -> item.quantity() != null);
          long have = 0;
          for (StockItem item : there) {
            Integer quantity = item.quantity();
            have += quantity == null ? 0 : quantity;
          }
          expect(!counted || number <= have, sort, number + " used, " + have + " in stock");
        });
  }

  private static StockItem sort(PlannedSticks sticks) {
    return new StockItem(
        sticks.material(), sticks.length(), null, sticks.cost(), sticks.kind(), sticks.label());
  }

  private StockItem sort(StockItem item) {
    return new StockItem(
        item.material(), item.length(), null, costOf(item), item.kind(), item.label());
  }

  private BigDecimal costOf(StockItem item) {
    BigDecimal cost = item.cost();
    if (cost != null) {
      return normal(cost);
    }
    if (item.kind() == StickKind.IN_SAW) {
      return BigDecimal.ZERO;
    }
    Set<Length> lengths = new HashSet<>();
    boolean anyCost = false;
    BigDecimal rate = null;
    Length of = Length.ofMm(1);
    for (StockItem other : request.stock()) {
      if (!other.material().equals(item.material()) || other.kind() == StickKind.IN_SAW) {
        continue;
      }
      lengths.add(other.length());
      BigDecimal otherCost = other.cost();
      anyCost |= otherCost != null;
      if (otherCost != null && other.kind() == StickKind.NEW) {
        boolean lower =
            rate == null
                || otherCost.multiply(of.toMm()).compareTo(rate.multiply(other.length().toMm()))
                    < 0;
        rate = lower ? otherCost : rate;
        of = lower ? other.length() : of;
      }
    }
    if (!anyCost && lengths.size() == 1) {
      return BigDecimal.ONE;
    }
    BigDecimal unit = rate == null ? BigDecimal.ONE : rate;
    BigDecimal exact = unit.multiply(item.length().toMm());
    return normal(rate == null ? exact : exact.divide(of.toMm(), 6, RoundingMode.HALF_EVEN));
  }

  private static BigDecimal normal(BigDecimal number) {
    BigDecimal stripped = number.stripTrailingZeros();
    return stripped.scale() < 0 ? stripped.setScale(0) : stripped;
  }

  private void checkCost() {
    BigDecimal sum = BigDecimal.ZERO;
    for (PlannedSticks sticks : plan.sticks()) {
      sum = sum.add(sticks.cost().multiply(BigDecimal.valueOf(sticks.repeat())));
    }
    expect(sum.compareTo(plan.cost()) == 0, "cost " + plan.cost(), "the sticks cost " + sum);
    int order = plan.bound().compareTo(plan.cost());
    expect(order <= 0, "bound " + plan.bound(), "above the cost " + plan.cost());
    expect(plan.bound().signum() >= 0, "bound " + plan.bound(), "below zero");
    expect(!plan.proven() || order == 0, "proven", "with bound below cost");
    boolean unproven = !plan.proven() && order == 0 && plan.shortages().isEmpty();
    expect(!unproven, "not proven", "with bound at cost and nothing short");
  }

  /** The stick in the saw first; a material's sticks together; equals merged. */
  private void checkOrder() {
    Set<String> materials = new HashSet<>();
    Set<PlannedSticks> seen = new HashSet<>();
    boolean others = false;
    String last = null;
    for (PlannedSticks sticks : plan.sticks()) {
      boolean inSaw = sticks.kind() == StickKind.IN_SAW;
      expect(!inSaw || !others, sticks, "lies in the saw, but is not cut first");
      others |= !inSaw;
      boolean goesOn = sticks.material().equals(last);
      expect(goesOn || materials.add(sticks.material()), sticks, "is apart from its material");
      last = sticks.material();
      expect(seen.add(sticks.single()), sticks, "is listed twice");
    }
    faults.addAll(FigureChecker.faults(request, plan, this::rate));
  }

  /** The price of an offcut's millimetre: half of the least that one of new stock costs. */
  private BigDecimal rate(String material, Length length) {
    BigDecimal least = null;
    boolean anyNew =
        request.stock().stream()
            .anyMatch(i -> i.material().equals(material) && i.kind() == StickKind.NEW);
    for (StockItem item : request.stock()) {
      boolean racked = anyNew ? item.kind() == StickKind.NEW : item.kind() != StickKind.IN_SAW;
      if (item.material().equals(material) && racked) {
        BigDecimal worth =
            costOf(item)
                .multiply(length.toMm())
                .divide(
                    item.length().toMm().multiply(BigDecimal.valueOf(2)),
                    6,
                    RoundingMode.HALF_EVEN);
        least = least == null || worth.compareTo(least) < 0 ? worth : least;
      }
    }
    return least == null ? BigDecimal.ZERO : least;
  }

  private void expect(boolean holds, Object where, String fault) {
    if (!holds) {
      faults.add(where + ": " + fault);
    }
  }
}
