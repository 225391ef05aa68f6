package org.kerftally.daemon.service;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assumptions.assumeThat;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.slf4j.LoggerFactory;

/**
 * Searches for a shift in which a cut is lost, counted twice or booked as what it is not, or in
 * which something moves unasked. {@code -Dkerftally.shift.seed=N} runs one shift, {@code
 * -Dkerftally.shifts=N} so many fresh ones.
 */
final class ShiftSimulationTest {

  private static final @Nullable Long ONE = Long.getLong("kerftally.shift.seed");
  private static final int FIXED = 3_000;
  private static final long FRESH_NANOS = TimeUnit.SECONDS.toNanos(40);
  private static final int SEEDS_TO_CATCH = 1_000;
  private static final Logger LOGGER = (Logger) LoggerFactory.getLogger("org.kerftally");
  private static @Nullable Level usual;

  /** What the service says of the faults made here would fill the build's own log. */
  @BeforeAll
  static void keepQuiet() {
    usual = LOGGER.getLevel();
    LOGGER.setLevel(Level.OFF);
  }

  @AfterAll
  static void speakAgain() {
    LOGGER.setLevel(usual);
  }

  @Test
  void noShiftBreaksALaw() throws InterruptedException {
    if (ONE != null) {
      run(ONE, ShiftDesign.SOUND);
      return;
    }
    long cycles = 0;
    for (long seed = 1; seed <= FIXED; seed++) {
      cycles += run(seed, ShiftDesign.SOUND);
    }
    assertThat(cycles).as("cycles sawn in all").isGreaterThan(FIXED);
  }

  /** Other seeds in every build, for as long as the machine has; a slow one looks at fewer. */
  @Test
  void noFreshShiftBreaksALaw() throws InterruptedException {
    assumeThat(ONE).as("the shift that is replayed alone").isNull();
    long wanted = Long.getLong("kerftally.shifts", Long.MAX_VALUE);
    long nanos = wanted == Long.MAX_VALUE ? FRESH_NANOS : Long.MAX_VALUE;
    long begin = System.nanoTime();
    long seed = System.currentTimeMillis() * 1_000;
    long shifts = 0;
    while (shifts < wanted && System.nanoTime() - begin < nanos) {
      run(seed + shifts, ShiftDesign.SOUND);
      shifts++;
    }
    System.out.println(shifts + " fresh shifts from seed " + seed + " broke no law");
    assertThat(shifts).isPositive();
  }

  @ParameterizedTest
  @EnumSource(ShiftBroken.class)
  void aBrokenServiceIsCaught(ShiftBroken broken) throws InterruptedException {
    int seed = 1;
    while (seed <= SEEDS_TO_CATCH && holds(seed, broken)) {
      seed++;
    }
    assertThat(seed).as("the seed that catches it").isLessThanOrEqualTo(SEEDS_TO_CATCH);
  }

  private static boolean holds(long seed, ShiftDesign design) throws InterruptedException {
    try {
      new Shift(seed, design).run();
      return true;
    } catch (AssertionError | IllegalStateException e) {
      return false;
    }
  }

  private static int run(long seed, ShiftDesign design) throws InterruptedException {
    Shift shift = new Shift(seed, design);
    try {
      shift.run();
    } catch (AssertionError | RuntimeException e) {
      shift.log().forEach(System.out::println);
      throw new AssertionError(
          "replay with -Dtest=ShiftSimulationTest -Dkerftally.shift.seed=" + seed, e);
    }
    return shift.cycles();
  }
}
