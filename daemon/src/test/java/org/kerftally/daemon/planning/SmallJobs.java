package org.kerftally.daemon.planning;

import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/** Makes small random requests with every feature a job may have; the same seed, the same job. */
final class SmallJobs {

  private static final long NM_PER_SIXTEENTH = 1_587_500;

  private SmallJobs() {}

  static PlanRequest of(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    Requests requests = new Requests().rules(rules(random));
    int parts = random.nextInt(1, 5);
    int most = parts > 3 ? 3 : 4;
    int shortest = random.nextBoolean() ? 5 : 20;
    Set<Integer> lengths = new HashSet<>();
    boolean priorities = random.nextInt(3) == 0;
    for (int p = 0; p < parts; p++) {
      int length = random.nextInt(shortest, 70);
      if (lengths.add(length)) {
        int priority = priorities ? random.nextInt(1, 3) : 1;
        requests.part("p" + p, length, random.nextInt(1, most + 1), priority);
      }
    }
    addStock(requests, random);
    return requests.request();
  }

  /** The same job with a sixteenth of an inch for every millimetre; costs stay what they were. */
  static PlanRequest inSixteenths(long seed) {
    PlanRequest mm = of(seed);
    long lengths = mm.stock().stream().map(StockItem::length).distinct().count();
    List<Part> parts =
        mm.parts().stream()
            .map(
                p ->
                    new Part(
                        p.name(), in(p.length()), p.quantity(), p.material(), p.priority(), null))
            .toList();
    List<StockItem> stock =
        mm.stock().stream()
            .map(
                s ->
                    new StockItem(
                        s.material(),
                        in(s.length()),
                        s.quantity(),
                        s.cost() == null && lengths > 1 ? s.length().toMm() : s.cost(),
                        s.kind(),
                        s.label()))
            .toList();
    CutRules rules = mm.defaultRules();
    CutRules inch =
        new CutRules(
            in(rules.kerf()),
            in(rules.leadTrim()),
            in(rules.tail()),
            in(rules.minOffcut()),
            rules.sliverCuts());
    return new PlanRequest(parts, stock, Map.of(), inch);
  }

  private static Length in(Length mm) {
    return Length.ofNm(mm.nm() / 1_000_000 * NM_PER_SIXTEENTH);
  }

  private static CutRules rules(SplittableRandom random) {
    int kerf = random.nextInt(0, 4);
    int trim = random.nextInt(2) * random.nextInt(0, 6);
    int tail = random.nextInt(3) == 0 ? random.nextInt(1, 12) : 0;
    return new CutRules(
        Length.ofMm(kerf),
        Length.ofMm(trim),
        Length.ofMm(tail),
        Length.ofMm(15),
        random.nextBoolean());
  }

  private static void addStock(Requests requests, SplittableRandom random) {
    boolean costs = random.nextInt(3) > 0;
    boolean limited = random.nextInt(3) > 0;
    int lengths = random.nextInt(1, 4);
    for (int s = 0; s < lengths; s++) {
      int length = random.nextInt(50, 110);
      Integer quantity = limited ? (Integer) random.nextInt(1, 4) : null;
      String cost = costs ? String.valueOf(random.nextInt(0, 12)) : null;
      requests.sticks(length, quantity, cost);
    }
    int offcuts = random.nextInt(2) * random.nextInt(1, 4);
    for (int s = 0; s < offcuts; s++) {
      String cost = costs ? String.valueOf(random.nextInt(0, 4)) : null;
      requests.sticks(random.nextInt(20, 80), 1, cost, StickKind.OFFCUT, "R" + s);
    }
    if (random.nextInt(4) == 0) {
      requests.sticks(random.nextInt(10, 90), 1, "0", StickKind.IN_SAW, null);
    }
  }
}
