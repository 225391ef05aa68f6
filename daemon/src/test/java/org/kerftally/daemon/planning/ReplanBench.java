package org.kerftally.daemon.planning;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.function.BooleanSupplier;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Measures how long a new plan for the rest of a job takes, and what it costs against a long
 * search.
 *
 * <p>Run by hand: {@code ReplanBench [jobs] [lengths] [limit in ms]}. Each job is planned, a third
 * of its sticks is cut, then the stick in the saw turns out shorter, a part is rejected, or the
 * stick has a bad zone. The rest is planned from nothing and from the former plan's patterns, both
 * with the same limit, and once more with two seconds to compare cost with.
 */
final class ReplanBench {

  private static final CutRules RULES = Requests.rules(3, 10, 0, true);
  private static final long LONG_MILLIS = 2_000;

  private final List<Double> fromNothing = new ArrayList<>();
  private final List<Double> fromFormer = new ArrayList<>();
  private int dearerFromNothing;
  private int dearerFromFormer;
  private int events;
  private int proven;

  private ReplanBench() {}

  /** Runs the bench. */
  public static void main(String[] arguments) {
    int jobs = arguments.length > 0 ? Integer.parseInt(arguments[0]) : 50;
    int lengths = arguments.length > 1 ? Integer.parseInt(arguments[1]) : 50;
    long limitMillis = arguments.length > 2 ? Long.parseLong(arguments[2]) : 45;
    for (int warm = 0; warm < 5; warm++) {
      new ReplanBench().run(new SplittableRandom(1_000 + warm), lengths, limitMillis);
    }
    ReplanBench bench = new ReplanBench();
    for (int job = 0; job < jobs; job++) {
      bench.run(new SplittableRandom(job), lengths, limitMillis);
    }
    bench.print("from nothing", bench.fromNothing, bench.dearerFromNothing);
    bench.print("from the former plan", bench.fromFormer, bench.dearerFromFormer);
    System.out.printf(
        Locale.ROOT, "%d of %d proven within the limit%n", bench.proven, bench.events);
  }

  private void run(SplittableRandom random, int lengths, long limitMillis) {
    PlanRequest first = job(random, lengths);
    CutPlan plan = new Planner().plan(first, within(LONG_MILLIS));
    int kind = random.nextInt(3);
    Rest rest = Rest.after(first, plan, kind, random);
    long from = System.nanoTime();
    CutPlan nothing = new Planner().plan(rest.request(), within(limitMillis));
    long between = System.nanoTime();
    CutPlan former = new Planner().replan(rest.request(), rest.former(), within(limitMillis));
    long to = System.nanoTime();
    CutPlan best = new Planner().replan(rest.request(), rest.former(), within(LONG_MILLIS));
    fromNothing.add((between - from) / 1e6);
    fromFormer.add((to - between) / 1e6);
    dearerFromNothing += nothing.cost().compareTo(best.cost()) > 0 ? 1 : 0;
    dearerFromFormer += former.cost().compareTo(best.cost()) > 0 ? 1 : 0;
    proven += former.proven() ? 1 : 0;
    events++;
  }

  private static BooleanSupplier within(long millis) {
    long until = System.nanoTime() + millis * 1_000_000;
    return () -> System.nanoTime() - until > 0;
  }

  private void print(String what, List<Double> millis, int dearer) {
    double[] sorted = millis.stream().mapToDouble(d -> d).sorted().toArray();
    System.out.printf(
        Locale.ROOT,
        "%-22s median %.1f ms, 95 %% %.1f ms, most %.1f ms; dearer than after 2 s: %d of %d%n",
        what,
        sorted[sorted.length / 2],
        sorted[Math.min(sorted.length - 1, sorted.length * 95 / 100)],
        sorted[sorted.length - 1],
        dearer,
        sorted.length);
  }

  /**
   * One stock length, three with prices that are not proportional, or one and a rack of offcuts.
   */
  private static PlanRequest job(SplittableRandom random, int lengths) {
    Requests requests = new Requests().rules(RULES);
    int high = random.nextInt(10) < 4 ? 1_100 : 2_200;
    List<Integer> used = new ArrayList<>();
    while (used.size() < lengths) {
      int length = random.nextInt(150, high);
      if (!used.contains(length)) {
        used.add(length);
        requests.part("p" + used.size(), length, random.nextInt(1, 21));
      }
    }
    switch (random.nextInt(3)) {
      case 0 -> requests.sticks(random.nextBoolean() ? 3_000 : 6_000, null, "1");
      case 1 -> {
        requests.sticks(2_400, null, String.valueOf(random.nextInt(240, 271)));
        requests.sticks(3_600, random.nextInt(3, 13), String.valueOf(random.nextInt(330, 361)));
        requests.sticks(4_800, random.nextInt(3, 13), String.valueOf(random.nextInt(440, 501)));
      }
      default -> {
        requests.sticks(3_000, null, "300");
        for (int n = random.nextInt(5, 26); n > 0; n--) {
          int length = random.nextInt(400, 2_400);
          requests.sticks(length, 1, String.valueOf(length / 100), StickKind.OFFCUT, "R" + n);
        }
      }
    }
    return requests.request();
  }

  /** What is left to plan after something happened, and the former plan's sticks not yet cut. */
  private record Rest(PlanRequest request, List<PlannedSticks> former) {

    static Rest after(PlanRequest first, CutPlan plan, int kind, SplittableRandom random) {
      List<PlannedSticks> singles = new ArrayList<>();
      for (PlannedSticks sticks : plan.sticks()) {
        for (int n = 0; n < sticks.repeat(); n++) {
          singles.add(sticks.single());
        }
      }
      int done = singles.size() / 3;
      PlannedSticks inSaw = singles.get(done);
      Map<Part, Integer> left = new LinkedHashMap<>();
      first.parts().forEach(part -> left.put(part, part.quantity()));
      List<StockItem> stock = new ArrayList<>(first.stock());
      for (int n = 0; n <= done; n++) {
        take(stock, singles.get(n));
      }
      for (PlannedSticks stick : singles.subList(0, done)) {
        for (Cut cut : stick.cuts()) {
          left.merge(part(first, cut), -1, Integer::sum);
        }
      }
      if (kind == 1 && done > 0) {
        left.merge(part(first, singles.get(0).cuts().get(0)), 1, Integer::sum);
      }
      Length sound = inSaw.length();
      if (kind == 0) {
        sound = Length.ofNm(sound.nm() / 100 * random.nextInt(70, 99));
      }
      StockItem lying = new StockItem(inSaw.material(), sound, 1, null, StickKind.IN_SAW, null);
      List<SoundSegments.Zone> bad =
          kind == 2
              ? List.of(
                  new SoundSegments.Zone(
                      Length.ofNm(sound.nm() / 100 * 40), Length.ofNm(sound.nm() / 100 * 45)))
              : List.of();
      stock.addAll(0, SoundSegments.of(lying, bad, RULES));
      List<Part> parts = new ArrayList<>();
      left.forEach(
          (part, quantity) -> {
            if (quantity > 0) {
              parts.add(new Part(part.name(), part.length(), quantity, part.material(), 1, null));
            }
          });
      PlanRequest request = new PlanRequest(parts, stock, Map.of(), RULES);
      return new Rest(request, singles.subList(done + 1, singles.size()));
    }

    private static Part part(PlanRequest request, Cut cut) {
      return request.parts().stream()
          .filter(part -> part.name().equals(cut.part()))
          .findFirst()
          .orElseThrow();
    }

    private static void take(List<StockItem> stock, PlannedSticks stick) {
      for (int i = 0; i < stock.size(); i++) {
        StockItem item = stock.get(i);
        boolean same =
            item.length().equals(stick.length())
                && item.kind() == stick.kind()
                && Arrays.asList(item.label()).equals(Arrays.asList(stick.label()));
        Integer quantity = item.quantity();
        if (same && quantity != null) {
          stock.set(
              i,
              new StockItem(
                  item.material(),
                  item.length(),
                  quantity - 1,
                  item.cost(),
                  item.kind(),
                  item.label()));
        }
        if (same) {
          return;
        }
      }
    }
  }
}
