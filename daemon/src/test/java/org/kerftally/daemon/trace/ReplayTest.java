package org.kerftally.daemon.trace;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.function.UnaryOperator;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.service.DecisionWitness;
import org.kerftally.daemon.station.Decision;
import org.kerftally.daemon.station.RecordedRuns;
import org.kerftally.daemon.station.StationRules;
import org.kerftally.shared.length.Length;

/** What was recorded is decided again as it was, or the first difference is found. */
final class ReplayTest {

  private static final int SEEDS = 40;

  @TempDir Path folder;

  /** Returns how many decisions agreed, and the line of the first that did not, else 0. */
  private record Outcome(int agreed, int differsAtLine) {}

  private static Outcome replay(Path file, UnaryOperator<StationRules> rules) throws IOException {
    Replay replay = new Replay(rules);
    int agreed = 0;
    for (TraceReader.Reading.Read each : Recording.read(file)) {
      Replay.Verdict verdict = replay.take(each.line());
      if (verdict != null && !verdict.agrees()) {
        return new Outcome(agreed, each.number());
      }
      agreed += verdict == null ? 0 : 1;
    }
    return new Outcome(agreed, 0);
  }

  private static StationRules withWindow(StationRules r, Length window) {
    return new StationRules(
        r.name(),
        r.layout(),
        r.travel(),
        r.calibration(),
        window,
        r.validity(),
        r.rules(),
        r.materialRules(),
        r.assumeStick(),
        r.remoteSwitchAcknowledges(),
        r.moves());
  }

  @Test
  void everyDecisionOfASeededChaosComesOutAsRecorded() throws IOException {
    int decisions = 0;
    for (long seed = 1; seed <= SEEDS; seed++) {
      Recording recording = new Recording(Files.createDirectory(folder.resolve("" + seed)));
      RecordedRuns.chaos(seed, recording::start);
      recording.trace.close();
      Outcome outcome = replay(recording.files().get(0), r -> r);
      assertThat(outcome.differsAtLine()).as("seed %d", seed).isZero();
      decisions += outcome.agreed();
    }
    assertThat(decisions).isGreaterThan(100 * SEEDS);
  }

  /** A log that was locked for a while: each input is decided on until the log takes it. */
  @Test
  void aDecisionThatTheLogRefusedIsDecidedAgain() throws IOException {
    Recording recording = new Recording(folder);
    RecordedRuns.oneCutBeside(
        rules -> {
          DecisionWitness to = recording.start(rules);
          return new DecisionWitness() {
            @Override
            public void decided(Question question, Decision decision, boolean written) {
              if (!decision.events().isEmpty()) {
                to.decided(question, decision, false);
              }
              to.decided(question, decision, true);
            }

            @Override
            public void failed(Question question, Throwable failure) {}
          };
        });
    recording.trace.close();

    Path file = recording.files().get(0);
    assertThat(Files.readString(file)).contains("\"written\":false");
    assertThat(replay(file, r -> r).differsAtLine()).isZero();
  }

  @Test
  void underOtherRulesTheFirstDifferenceIsFoundAtItsLine() throws IOException {
    Recording recording = new Recording(folder);
    RecordedRuns.oneCutBeside(recording::start);
    recording.trace.close();
    Path file = recording.files().get(0);
    List<String> lines = Files.readAllLines(file);
    int suspect =
        IntStream.range(0, lines.size())
            .filter(i -> lines.get(i).contains("\"kind\":\"suspect\""))
            .findFirst()
            .orElseThrow();

    assertThat(replay(file, r -> r).differsAtLine()).isZero();
    assertThat(replay(file, r -> withWindow(r, Length.ofMm(5))).differsAtLine())
        .isEqualTo(suspect + 1);
  }

  @Test
  void aMarkStandsForWhateverWasBlanked() {
    assertThat(Replay.agree("as [blanked] says", "as hunter2 says")).isTrue();
    assertThat(Replay.agree("[blanked]", "")).isTrue();
    assertThat(Replay.agree("a[blanked]b[blanked]c", "a1b2b3c")).isTrue();
    assertThat(Replay.agree("as [blanked] says", "as hunter2 said")).isFalse();
    assertThat(Replay.agree("ab[blanked]bc", "abc")).isFalse();
    assertThat(Replay.agree("plain", "other")).isFalse();
  }

  @Test
  void aFaultOfTheCoresOwnIsRecordedAndComparedToo() throws IOException {
    Recording recording = new Recording(folder);
    RecordedRuns.oneCutBeside(
        rules -> {
          DecisionWitness to = recording.start(rules);
          return new DecisionWitness() {
            private int decisions;

            @Override
            public void decided(Question question, Decision decision, boolean written) {
              if (++decisions == 5) {
                to.failed(question, new IllegalStateException("out of its mind"));
              } else if (decisions < 5) {
                to.decided(question, decision, written);
              }
            }

            @Override
            public void failed(Question question, Throwable failure) {}
          };
        });
    recording.trace.close();
    Path file = recording.files().get(0);
    assertThat(Files.readString(file)).contains("IllegalStateException: out of its mind");
    assertThat(replay(file, r -> r).differsAtLine()).isPositive();
  }
}
