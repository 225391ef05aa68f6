package org.kerftally.daemon.station;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.HashSet;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.service.DecisionWitness;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.length.Length;

/**
 * Runs jobs under seeded faults and holds what must hold whatever happens. A failing seed is in the
 * assertion's text; {@code -Dkerftally.chaos.seed=N} runs that one alone.
 */
final class StationChaosTest {

  private static final int SEEDS = Integer.getInteger("kerftally.chaos.seeds", 1_000);

  @Test
  void aJobEndsRightWhateverFailsMeanwhile() {
    Long one = Long.getLong("kerftally.chaos.seed");
    long from = one == null ? 1 : one;
    long to = one == null ? SEEDS : one;
    for (long seed = from; seed <= to; seed++) {
      try {
        run(seed);
      } catch (RuntimeException | AssertionError e) {
        throw new AssertionError("seed " + seed + ": " + e.getMessage(), e);
      }
    }
  }

  @Test
  void aJobEndsRightWhereverTheProcessDies() {
    for (int n = 0; n < 120; n++) {
      StationRig rig = new StationRig(Layout.OUTFEED_STOP, false, n);
      rig.dieAfterDecisions = n;
      rig.start();
      rig.offer(StationRig.order("hive", 300, 5, 120, 3));
      for (int i = 0; i < 200; i++) {
        if (rig.dead) {
          rig.restart();
          rig.offer(StationRig.order("hive", 300, 5, 120, 3));
        }
        if (!rig.operatorActs()) {
          rig.tick(500);
          rig.tell();
        }
      }
      assertThat(rig.mode()).as("died after decision %d", n).isEqualTo(StationMode.COMPLETE);
      check(rig, 8);
    }
  }

  /** Runs one job under the faults of a seed and returns the rig when it is made and checked. */
  static StationRig run(long seed) {
    return run(seed, rules -> DecisionWitness.NONE);
  }

  /** Does the same under the eyes of a witness. */
  static StationRig run(long seed, Function<StationRules, DecisionWitness> witness) {
    Layout layout = seed % 2 == 0 ? Layout.OUTFEED_STOP : Layout.INFEED_PUSHER;
    StationRig rig = new StationRig(layout, seed % 3 == 0, seed, moves(layout, seed));
    rig.witness = witness.apply(rig.rules);
    rig.saw.memory = seed % 5 != 0;
    rig.losesMessages = true;
    rig.start();
    rig.offer(StationRig.order("hive", 310, 6, 150, 4, 95, 5));
    for (int i = 0; i < 400; i++) {
      hurt(rig, i < 300);
      assertThat(rig.saw.breaches).isEmpty();
      if (!rig.operatorActs()) {
        rig.tick(700);
        rig.tell();
      }
      if (i % 100 == 99) {
        assertThat(StationFold.applyAll(StationState.EMPTY, rig.log)).isEqualTo(rig.state);
      }
    }
    rig.losesMessages = false;
    settleDown(rig);
    check(rig, 15);
    return rig;
  }

  /** A third of the stations moves to targets alone; some pushers park, stops retract and park. */
  private static StopMoves moves(Layout layout, long seed) {
    boolean retracts = layout == Layout.OUTFEED_STOP && seed / 2 % 3 != 0;
    boolean parks = seed / 2 % 3 != 1;
    return seed / 2 % 3 == 0 && seed / 6 % 2 == 0
        ? StopMoves.NONE
        : new StopMoves(
            retracts ? Length.ofMm(5) : Length.ZERO,
            Duration.ofMillis(seed % 7 * 300),
            parks ? Length.ofMm(700) : null,
            Duration.ofSeconds(1));
  }

  private static void settleDown(StationRig rig) {
    rig.dieAfterDecisions = -1;
    if (rig.dead) {
      rig.restart();
    }
    rig.saw.fault = 0;
    rig.saw.homed = true;
    rig.saw.paused = false;
    if (!rig.linked) {
      rig.connect();
    }
    for (int i = 0; i < 400 && rig.mode() != StationMode.COMPLETE; i++) {
      if (!rig.operatorActs()) {
        rig.tick(4_000);
        rig.tell();
      }
    }
    if (!rig.linked) {
      rig.connect();
    }
    rig.tell();
    assertThat(rig.mode()).as("prompt: %s", rig.senses.prompt()).isEqualTo(StationMode.COMPLETE);
  }

  private static void hurt(StationRig rig, boolean on) {
    if (!on) {
      return;
    }
    switch (rig.random.nextInt(60)) {
      case 0 -> rig.disconnect();
      case 1, 2 -> reconnect(rig);
      case 3 -> rig.restart();
      case 4 -> rig.dieAfterDecisions = rig.random.nextInt(4);
      case 5 -> powerCycle(rig);
      case 6 -> rig.saw.fault = 1 + rig.random.nextInt(7);
      case 7, 8, 9 -> rig.saw.fault = 0;
      case 10 -> rig.saw.homed = false;
      case 11, 12 -> rig.saw.homed = true;
      case 13 -> rig.saw.rejected++;
      case 14 -> unseenStroke(rig);
      case 15 -> rig.saw.stroke(rig.saw.position.plus(Length.ofMm(1)));
      case 16 -> rig.saw.paused = !rig.saw.paused;
      case 17 -> defect(rig);
      case 18 -> rig.saw.stickLength = Length.ofMm(500 + rig.random.nextInt(500));
      case 19 -> rig.saw.stickLength = null;
      default -> {}
    }
    if (rig.dead) {
      rig.restart();
    }
  }

  private static void reconnect(StationRig rig) {
    if (!rig.linked) {
      rig.connect();
    }
  }

  private static void powerCycle(StationRig rig) {
    rig.disconnect();
    if (rig.random.nextBoolean()) {
      unseenStroke(rig);
    }
    rig.saw.powerCycle();
    rig.connect();
  }

  private static void unseenStroke(StationRig rig) {
    if (rig.senses.prompt().kind() == Prompt.Kind.CUT || rig.random.nextInt(4) == 0) {
      rig.saw.stroke();
    }
  }

  private static void defect(StationRig rig) {
    rig.saw.defects++;
    rig.saw.defectAt = Length.ofMm(rig.random.nextInt(400));
  }

  /** Log against truth, cut by cut; and the job made as wanted. */
  private static void check(StationRig rig, int wanted) {
    Set<String> truth =
        rig.saw.truth.stream().map(c -> c.boot() + "#" + c.count()).collect(Collectors.toSet());
    Set<String> booked = new HashSet<>();
    for (CutBooked cut : rig.cuts()) {
      assertThat(booked.add(cut.boot() + "#" + cut.count())).as("booked twice: %s", cut).isTrue();
    }
    if (rig.saw.memory && booked.size() != truth.size()) {
      Set<String> unbooked = new TreeSet<>(truth);
      unbooked.removeAll(booked);
      throw new AssertionError(
          "not booked: " + unbooked + " at " + rig.saw.snapshot() + ", " + rig.state.counted());
    }
    for (CutBooked cut : rig.cuts()) {
      if (cut.kind() == CutKind.PART || cut.kind() == CutKind.TRIM) {
        assertThat(rig.saw.truth)
            .anyMatch(
                c ->
                    c.boot().equals(cut.boot())
                        && c.count() == cut.count()
                        && c.seq() == cut.seq()
                        && c.position().equals(cut.position()));
      }
    }
    Set<Long> moves = rig.all(MoveSet.class).stream().map(MoveSet::seq).collect(Collectors.toSet());
    assertThat(rig.cuts())
        .filteredOn(cut -> moves.contains(cut.seq()))
        .allMatch(cut -> cut.kind() == CutKind.SUSPECT && cut.part() == null);
    long made =
        (long) rig.cuts(CutKind.PART).size()
            + rig.all(PieceRemained.class).size()
            - rig.all(PieceRejected.class).size();
    assertThat(made).isEqualTo(wanted);
  }
}
