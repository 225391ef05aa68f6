package org.kerftally.daemon.planning.sequence;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.planning.packing.Effort;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.StopMotion;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutOrder;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;

/** Holds the order of work against all orders of small plans. Every failure names its seed. */
class CutSequenceTest {

  private static final Length KERF = Length.ofMm(3);

  private static Effort effort() {
    return new Effort(() -> false, 200_000_000);
  }

  private static StopRules rules(Layout layout) {
    return new StopRules(layout, Length.ofMm(20), StopMotion.LIGHT, null);
  }

  private static PlannedSticks sticks(int repeat, long trimMm, long restMm, long... lengthsMm) {
    List<Cut> cuts = new ArrayList<>();
    Length length = Length.ofMm(trimMm + restMm);
    for (long mm : lengthsMm) {
      cuts.add(new Cut("p" + mm, Length.ofMm(mm)));
      length = length.plus(Length.ofMm(mm)).plus(KERF);
    }
    if (restMm < 0) {
      length = length.minus(KERF).plus(Length.ofMm(-restMm));
    }
    return new PlannedSticks(
        "pine",
        length,
        StickKind.NEW,
        null,
        BigDecimal.ONE,
        repeat,
        Length.ofMm(trimMm),
        cuts,
        Length.ofMm(Math.max(0, restMm)),
        null);
  }

  @Test
  void turnsAboutFromStickToStick() {
    List<PlannedSticks> plan = List.of(sticks(4, 0, 50, 800, 800, 500));

    CutSequence.Sequenced ordered =
        CutSequence.order(plan, rules(Layout.OUTFEED_STOP), KERF, null, effort());

    assertThat(ordered.sticks().get(0).cutOrder()).isEqualTo(CutOrder.TURNING);
    assertThat(ordered.stopMoves().value()).isEqualTo(5);
    assertThat(ordered.stopMoves().proven()).isTrue();
  }

  /** A square of all stands would take some gigabytes. */
  @Test
  void ordersAsManyLengthsAsAJobMayHave() {
    List<PlannedSticks> plan = new ArrayList<>();
    for (long mm = 100; mm < 20_100; mm += 2) {
      plan.add(sticks(1, 0, 9, mm, mm + 1));
    }
    Effort spent = new Effort(() -> true, 1);

    CutSequence.Sequenced ordered =
        CutSequence.order(plan, rules(Layout.OUTFEED_STOP), KERF, null, spent);

    assertThat(ordered.sticks()).hasSize(plan.size());
    assertThat(ordered.stopMoves().value()).isEqualTo(20_000);
    assertThat(ordered.stopMoves().proven()).isTrue();
  }

  @Test
  void cutsEqualLengthsInARowAndJoinsSticksAtALengthTheyShare() {
    List<PlannedSticks> plan = List.of(sticks(1, 0, 9, 700, 400), sticks(1, 0, 9, 900, 700));

    CutSequence.Sequenced ordered =
        CutSequence.order(plan, rules(Layout.OUTFEED_STOP), KERF, null, effort());

    assertThat(ordered.stopMoves().value()).isEqualTo(3);
    assertThat(ordered.travelProven()).isTrue();
  }

  @Test
  void neverDoesWorseThanAnyOrderOfASmallPlan() {
    for (long seed = 0; seed < 150; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      Layout layout = random.nextBoolean() ? Layout.OUTFEED_STOP : Layout.INFEED_PUSHER;
      long trim = random.nextBoolean() ? 0 : 10;
      List<PlannedSticks> plan = new ArrayList<>();
      for (int n = random.nextInt(1, 4); n > 0; n--) {
        long[] lengths = new long[random.nextInt(1, 4)];
        for (int c = 0; c < lengths.length; c++) {
          lengths[c] = 100L * random.nextInt(2, 8);
        }
        long rest = random.nextInt(3) == 0 ? -3 : random.nextInt(0, 200);
        plan.add(sticks(random.nextInt(1, 4), trim, rest, lengths));
      }
      StopRules rules = rules(layout);

      CutSequence.Sequenced ordered = CutSequence.order(plan, rules, KERF, null, effort());

      long millis = StopTime.millis(ordered.sticks(), rules, material -> KERF);
      Best best = new Best(rules, ordered.openParts().value());
      best.go(new ArrayList<>(), plan);
      String text = "seed " + seed + " " + layout + " " + ordered;
      assertThat(ordered.openParts().proven()).as(text).isTrue();
      assertThat(ordered.stopMoves().value()).as(text).isEqualTo(best.moves);
      assertThat(ordered.stopMoves().bound()).as(text).isEqualTo(best.moves);
      assertThat(ordered.travelProven()).as(text).isTrue();
      assertThat(millis).as(text).isEqualTo(best.millis);
    }
  }

  @Test
  void boundsMovesSafelyWhereNotAllOrdersAreGoneThrough() {
    for (long seed = 0; seed < 60; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      List<PlannedSticks> plan = new ArrayList<>();
      for (int n = random.nextInt(2, 4); n > 0; n--) {
        plan.add(
            sticks(
                random.nextInt(1, 3),
                0,
                9,
                100L * random.nextInt(2, 6),
                100L * random.nextInt(2, 6)));
      }
      StopRules rules = rules(Layout.OUTFEED_STOP);

      CutSequence.Sequenced quick =
          CutSequence.order(plan, rules, KERF, null, new Effort(() -> true, 1));

      Best best = new Best(rules, Integer.MAX_VALUE);
      best.go(new ArrayList<>(), plan);
      assertThat(quick.stopMoves().bound())
          .as("seed " + seed)
          .isLessThanOrEqualTo((int) best.moves);
    }
  }

  /** Goes through every order of sticks, of the cuts in each, and of going on. */
  private static final class Best {
    private final StopRules rules;
    private final int openLimit;
    long moves = Long.MAX_VALUE;
    long millis;

    Best(StopRules rules, int openLimit) {
      this.rules = rules;
      this.openLimit = openLimit;
    }

    void go(List<PlannedSticks> done, List<PlannedSticks> left) {
      if (left.isEmpty()) {
        judge(done);
        return;
      }
      for (int n = 0; n < left.size(); n++) {
        List<PlannedSticks> rest = new ArrayList<>(left);
        PlannedSticks next = rest.remove(n);
        Set<List<Cut>> orders = new HashSet<>();
        permute(new ArrayList<>(), next.cuts(), orders);
        for (List<Cut> order : orders) {
          for (CutOrder goingOn : CutOrder.values()) {
            if (goingOn == CutOrder.SAME || next.repeat() > 1) {
              done.add(next.ordered(order, goingOn));
              go(done, rest);
              done.remove(done.size() - 1);
            }
          }
        }
      }
    }

    private static void permute(List<Cut> head, List<Cut> left, Set<List<Cut>> orders) {
      if (left.isEmpty()) {
        orders.add(List.copyOf(head));
        return;
      }
      for (int n = 0; n < left.size(); n++) {
        List<Cut> rest = new ArrayList<>(left);
        head.add(rest.remove(n));
        permute(head, rest, orders);
        head.remove(head.size() - 1);
      }
    }

    private void judge(List<PlannedSticks> plan) {
      if (open(plan) > openLimit) {
        return;
      }
      long count = 0;
      @Nullable Length at = null;
      for (PlannedSticks several : plan) {
        PlannedSticks left = several;
        while (left.repeat() > 0) {
          for (Length stand : StopWays.stands(left, rules, KERF)) {
            count += stand.equals(at) ? 0 : 1;
            at = stand;
          }
          left = left.afterFirst();
        }
      }
      long time = StopTime.millis(plan, rules, material -> KERF);
      if (count < moves || (count == moves && time < millis)) {
        moves = count;
        millis = time;
      }
    }

    private static int open(List<PlannedSticks> plan) {
      int most = 0;
      for (int at = 0; at < plan.size(); at++) {
        Set<Cut> before = new HashSet<>();
        Set<Cut> after = new HashSet<>();
        for (int n = 0; n < plan.size(); n++) {
          if (n <= at) {
            before.addAll(plan.get(n).cuts());
          }
          if (n >= at) {
            after.addAll(plan.get(n).cuts());
          }
        }
        before.retainAll(after);
        most = Math.max(most, before.size());
      }
      return most;
    }
  }
}
