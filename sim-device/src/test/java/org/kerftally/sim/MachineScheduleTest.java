package org.kerftally.sim;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

/**
 * Drives the machine through long random histories and checks after every step what must always
 * hold. A failure names its seed; {@code new History(seed).run()} plays it again to the last bit.
 */
class MachineScheduleTest {
  private static final int SEEDS_A_BLOCK = 30;
  private static final int STEPS = 400;

  @ParameterizedTest
  @ValueSource(longs = {0, 1000, 2000, 3000})
  void holdsItsRulesWhateverHappens(long first) {
    int cuts = 0;
    int moves = 0;
    for (long seed = first; seed < first + SEEDS_A_BLOCK; seed++) {
      History history = new History(seed);
      history.run();
      cuts += history.bench.truth.size();
      moves += history.accepted;
    }
    // The histories must be about something: most of them move and cut.
    assertThat(moves).isGreaterThan(SEEDS_A_BLOCK * 5);
    assertThat(cuts).isGreaterThan(SEEDS_A_BLOCK * 5);
  }

  @Test
  void givesTheSameHistoryForTheSameSeed() {
    for (long seed = 5000; seed < 5010; seed++) {
      History once = new History(seed);
      History again = new History(seed);
      once.run();
      again.run();
      assertThat(once.seen).as("seed %s", seed).isEqualTo(again.seen);
      assertThat(once.bench.truth).isEqualTo(again.bench.truth);
    }
  }

  @Test
  void givesAnotherHistoryForAnotherSeed() {
    History one = new History(1);
    History other = new History(2);
    one.run();
    other.run();
    assertThat(one.seen).isNotEqualTo(other.seen);
  }

  private static final class History {
    private final long seed;
    private final SplittableRandom random;
    private final boolean hasMemory;
    private final Bench bench;
    private final List<DeviceSnapshot> seen = new ArrayList<>();
    private long seq;
    private int accepted;
    private Length target = Length.ZERO;

    History(long seed) {
      this.seed = seed;
      this.random = new SplittableRandom(seed);
      this.hasMemory = random.nextBoolean();
      OperatorModel operator =
          random.nextInt(4) == 0
              ? OperatorModel.ABSENT
              : OperatorModel.STANDARD.withRejectRate(random.nextDouble(0.3));
      SimConfig config = SimConfig.standard("saw1").withOperator(operator).withSeed(seed);
      this.bench = new Bench(hasMemory ? config.withMemory(Path.of("memory")) : config);
      seen.add(bench.now());
    }

    void run() {
      for (int step = 0; step < STEPS; step++) {
        switch (random.nextInt(10)) {
          case 0, 1 -> move();
          case 2 -> bench.machine.stroke();
          case 3 -> showPrompt();
          case 4 -> somethingHappens();
          case 5 -> mend();
          default -> letTimePass();
        }
        check();
      }
    }

    private void move() {
      boolean permitted = bench.now().permitsMove();
      long active = bench.now().activeSequence();
      seq = Math.max(0, seq + random.nextInt(-1, 4));
      Length wanted = Length.ofNm(random.nextLong(-50_000_000L, 6_600_000_000L));
      Answer answer = bench.machine.moveAbsolute(wanted, seq);
      if (answer instanceof Answer.Accepted) {
        accepted++;
        target = wanted;
        assertThat(permitted).as("seed %s: accepted without a permit", seed).isTrue();
        assertThat(seq).as("seed %s", seed).isGreaterThan(active);
      }
    }

    private void showPrompt() {
      Prompt.Kind[] kinds = Prompt.Kind.values();
      Prompt.Kind kind = random.nextBoolean() ? Prompt.Kind.CUT : kinds[random.nextInt(6)];
      bench.machine.show(new Prompt(kind, "", "pine-19x146", Length.ofMm(2440), null));
    }

    private void somethingHappens() {
      Action.Kind[] kinds = Action.Kind.values();
      Action.Kind kind = kinds[random.nextInt(kinds.length)];
      bench.machine.act(
          kind.value() == Action.Value.LENGTH
              ? Action.of(kind, Length.ofMm(random.nextInt(2000)))
              : Action.of(kind));
    }

    private void mend() {
      for (Action.Kind kind :
          List.of(
              Action.Kind.ESTOP_RELEASE,
              Action.Kind.CLEAR,
              Action.Kind.AIR_OK,
              Action.Kind.DOOR_CLOSED,
              Action.Kind.REHOME,
              Action.Kind.RESUME,
              Action.Kind.REMOTE_ON)) {
        bench.act(kind);
      }
    }

    /** Goes on in small and large strides, looking at every moment when something was due. */
    private void letTimePass() {
      long until = bench.machine.nowNanos() + random.nextLong(Duration.ofSeconds(6).toNanos());
      while (bench.machine.nowNanos() < until) {
        long stride = bench.machine.nowNanos() + random.nextLong(1, 300_000_000L);
        bench.machine.advance(Math.min(Math.min(stride, until), bench.machine.nextNanos()));
        check();
      }
    }

    // Plain conditions, for there are hundreds of thousands of looks.
    private void check() {
      DeviceSnapshot before = seen.get(seen.size() - 1);
      DeviceSnapshot now = bench.now();
      seen.add(now);
      if (before.sawState() != SawState.IDLE && now.sawState() != SawState.IDLE) {
        require(now.position().equals(before.position()), "moved while the saw was busy");
      }
      if (now.targetReached()) {
        Length off = now.position().minus(target).abs();
        require(!off.isMoreThan(MotionProfile.STANDARD.window()), "reached outside the window");
      }
      require(now.isConsistent(), "count and last cut do not belong together");
      if (now.boot().equals(before.boot())) {
        long more = now.cutCount() - before.cutCount();
        require(more == 0 || more == 1, "the count did not go up by ones");
        require(now.activeSequence() >= before.activeSequence(), "the sequence fell");
      }
      List<LastCut> truth = bench.truth;
      long counted =
          hasMemory
              ? truth.size()
              : truth.stream().filter(cut -> cut.boot().equals(now.boot())).count();
      require(now.cutCount() == counted, "the count is not the truth");
      if (now.cutCount() > 0) {
        require(truth.get(truth.size() - 1).equals(now.lastCut()), "the last cut is not the truth");
      }
    }

    private void require(boolean holds, String otherwise) {
      if (!holds) {
        int end = seen.size();
        List<DeviceSnapshot> recent = seen.subList(Math.max(0, end - 2), end);
        throw new AssertionError(
            otherwise
                + ", seed "
                + seed
                + ", "
                + bench.machine.nowNanos()
                + " ns, truth "
                + bench.truth
                + ", last two looks "
                + recent);
      }
    }
  }
}
