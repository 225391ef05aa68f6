package org.kerftally.daemon.trace;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.SecretPlace;
import org.kerftally.daemon.service.DecisionWitness;
import org.kerftally.daemon.service.DecisionWitness.Question;
import org.kerftally.daemon.station.Decision;
import org.kerftally.daemon.station.Now;
import org.kerftally.daemon.station.RecordedRuns;
import org.kerftally.daemon.station.Senses;
import org.kerftally.daemon.station.StationCore;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.daemon.station.StationRules;
import org.kerftally.daemon.station.StationState;
import org.kerftally.daemon.trace.TraceReader.Reading.Read;
import org.kerftally.protocol.LinkTap.Way;
import org.kerftally.shared.device.LinkEvent;

/** What is written, what is left out, and what happens when it cannot be. */
final class StationTraceTest {

  @TempDir Path folder;

  private static boolean agrees(Path file) throws IOException {
    Replay replay = new Replay();
    for (Read each : Recording.read(file)) {
      Replay.Verdict verdict = replay.take(each.line());
      if (verdict != null && !verdict.agrees()) {
        return false;
      }
    }
    return true;
  }

  private static <T extends TraceLine> List<T> all(Path file, Class<T> kind) throws IOException {
    return Recording.read(file).stream()
        .map(Read::line)
        .filter(kind::isInstance)
        .map(kind::cast)
        .toList();
  }

  private static StationRules anyRules() {
    StationRules[] rules = new StationRules[1];
    RecordedRuns.oneCutBeside(
        r -> {
          rules[0] = r;
          return DecisionWitness.NONE;
        });
    return rules[0];
  }

  @Test
  void ticksThatBringAboutNothingAreCountedAndNotWritten() throws IOException {
    Recording recording = new Recording(folder);
    StationRules rules = anyRules();
    DecisionWitness witness = recording.start(rules);
    StationCore core = new StationCore(rules);
    StationState state = StationState.EMPTY;
    Senses senses = Senses.NONE;
    for (StationInput input :
        List.of(
            new StationInput.Begin("test"),
            new StationInput.Tick(),
            new StationInput.Tick(),
            new StationInput.Tick(),
            new StationInput.End("enough"))) {
      Now now = new Now(Recording.NOON, 1);
      Decision decision = core.decide(state, senses, input, now);
      witness.decided(new Question(state, senses, input, now), decision, true);
      state = decision.state();
      senses = decision.senses();
    }
    recording.trace.close();
    List<TraceLine.Decided> lines = all(recording.files().get(0), TraceLine.Decided.class);
    assertThat(lines).extracting(TraceLine.Decided::ticks).containsExactly(0, 3);
    assertThat(agrees(recording.files().get(0))).isTrue();
  }

  @Test
  void eachOfManyFilesBeginsWithAHeaderReplaysAloneAndTheOldestGo() throws IOException {
    Recording recording = new Recording(folder);
    recording.maxFileBytes = 30_000;
    Files.writeString(Files.createDirectories(folder).resolve("saw1-notes.txt"), "kept");
    for (long seed = 2; seed < 5; seed++) {
      RecordedRuns.chaos(seed, recording::start);
      recording.trace.close();
    }
    List<Path> files =
        recording.files().stream().filter(f -> f.toString().endsWith(".jsonl")).toList();
    assertThat(files).hasSize(TraceFiles.KEPT);
    assertThat(folder.resolve("saw1-notes.txt")).exists();
    for (Path file : files) {
      assertThat(Recording.read(file).get(0).line()).isInstanceOf(TraceLine.Header.class);
      assertThat(agrees(file)).as("%s", file).isTrue();
      assertThat(Files.size(file)).isLessThan(90_000);
    }
    assertThat(files).anyMatch(file -> file.toFile().length() >= 30_000);
  }

  @Test
  void aClockThatWasSetBackDoesNotMakeTheNewestFileTheFirstToGo() throws IOException {
    String future = "saw1-20991231T235959.999Z.trace.jsonl";
    Files.writeString(folder.resolve(future), "");
    Files.writeString(folder.resolve("saw1-20271332T000000.000Z.trace.jsonl"), "");
    Files.writeString(folder.resolve("saw10-20270101T000000.000Z.trace.jsonl"), "");
    TraceFiles files = new TraceFiles(folder, "saw1", TraceFiles.DISK);
    for (int i = 0; i < TraceFiles.KEPT + 1; i++) {
      files.next(Recording.NOON).out().close();
    }
    try (var left = Files.list(folder)) {
      assertThat(left.map(f -> f.getFileName().toString()).sorted().toList())
          .hasSize(TraceFiles.KEPT + 1)
          .contains("saw10-20270101T000000.000Z.trace.jsonl")
          .contains("saw1-21000101T000000.008Z.trace.jsonl")
          .doesNotContain(future);
    }
  }

  @Test
  void whatFoundNoRoomIsToldAndTheTraceReplaysAllTheSame() throws IOException {
    Recording recording = new Recording(folder);
    RecordedRuns.oneCutBeside(
        rules -> {
          DecisionWitness to = recording.start(rules);
          return new DecisionWitness() {
            private int decisions;

            @Override
            public void decided(Question question, Decision decision, boolean written) {
              decisions++;
              if (decisions == 5) {
                for (int i = 0; i < TraceQueue.MAX_ITEMS; i++) {
                  recording.trace.text(Way.FROM_DEVICE, "report", "Position", "" + i);
                }
              }
              if (decisions == 9) {
                for (int i = 0; i <= TraceQueue.MAX_ITEMS; i++) {
                  recording.write();
                }
              }
              if (decisions >= 5 && decisions < 9) {
                recording.trace.decided(question, decision, written);
              } else {
                to.decided(question, decision, written);
              }
            }

            @Override
            public void failed(Question question, Throwable failure) {}
          };
        });
    recording.trace.close();
    Path file = recording.files().get(0);
    assertThat(all(file, TraceLine.Lost.class))
        .singleElement()
        .satisfies(lost -> assertThat(lost.lines()).isEqualTo(4))
        .satisfies(lost -> assertThat(lost.why()).contains("faster"));
    assertThat(all(file, TraceLine.Resumed.class)).hasSize(1);
    assertThat(agrees(file)).isTrue();
  }

  @Test
  void aFullDiskStopsNothingAndTheNextFileSaysWhatIsMissing() throws IOException {
    Recording recording = new Recording(folder);
    AtomicBoolean full = new AtomicBoolean();
    recording.disk =
        file -> {
          OutputStream to = TraceFiles.DISK.create(file);
          return new OutputStream() {
            @Override
            public void write(int b) throws IOException {
              write(new byte[] {(byte) b});
            }

            @Override
            public void write(byte[] bytes) throws IOException {
              if (full.get()) {
                to.write(bytes, 0, bytes.length / 2);
                throw new IOException("No space left on device");
              }
              to.write(bytes);
            }

            @Override
            public void close() throws IOException {
              to.close();
            }
          };
        };
    RecordedRuns.oneCutBeside(
        rules -> {
          DecisionWitness to = recording.start(rules);
          return new DecisionWitness() {
            private int decisions;

            @Override
            public void decided(Question question, Decision decision, boolean written) {
              decisions++;
              full.set(decisions >= 4 && decisions < 7);
              recording.nanos += TimeUnit.SECONDS.toNanos(3);
              to.decided(question, decision, written);
            }

            @Override
            public void failed(Question question, Throwable failure) {}
          };
        });
    recording.trace.close();
    List<Path> files = recording.files();
    assertThat(files).hasSize(2);
    for (Path file : files) {
      assertThat(agrees(file)).isTrue();
    }
    assertThat(all(files.get(1), TraceLine.Lost.class))
        .singleElement()
        .satisfies(lost -> assertThat(lost.why()).contains("No space left"))
        .satisfies(lost -> assertThat(lost.lines()).isBetween(3L, 5L));
  }

  @Test
  void noSecretIsInTheFileWhereverItStood() throws IOException {
    String secret = "Q7+pass/~?\"&>word=x";
    Path place = Files.writeString(folder.resolve("password"), secret + "\n");
    Recording recording = new Recording(folder.resolve("traces"));
    recording.secrets.add(new SecretPlace(place, null));
    recording.configuration = "password: " + secret + "\n";
    StationRules rules = anyRules();
    DecisionWitness witness = recording.start(rules);
    String json = "{\"faultText\":\"" + secret.replace("\"", "\\\"") + "\"}";
    recording.trace.bytes(Way.FROM_DEVICE, "message", "kerftally/" + secret, json.getBytes(UTF_8));
    byte[] binary = ("\u00ff" + secret).getBytes(java.nio.charset.StandardCharsets.ISO_8859_1);
    recording.trace.bytes(Way.FROM_DEVICE, "message", "t", binary);
    String far = "x".repeat(TraceWriter.MAX_VALUE_CHARS - 5) + secret;
    recording.trace.text(Way.TO_DEVICE, "write", "PromptText", far);
    String coded = java.util.Base64.getEncoder().encodeToString(("ab" + secret).getBytes(UTF_8));
    recording.trace.text(Way.TO_DEVICE, "write", "PromptText", coded);
    StationInput begin = new StationInput.Begin("test");
    StationInput down = new StationInput.FromLink(new LinkEvent.Down("refused: " + secret));
    Decision one =
        new StationCore(rules)
            .decide(StationState.EMPTY, Senses.NONE, begin, new Now(Recording.NOON, 1));
    Decision two =
        new StationCore(rules).decide(one.state(), one.senses(), down, new Now(Recording.NOON, 2));
    for (int i = 0; i < 5; i++) {
      recording.write();
    }
    witness.decided(
        new Question(StationState.EMPTY, Senses.NONE, begin, new Now(Recording.NOON, 1)),
        one,
        true);
    witness.decided(
        new Question(one.state(), one.senses(), down, new Now(Recording.NOON, 2)), two, true);
    recording.trace.close();

    String written = Files.readString(recording.files().get(0));
    assertThat(written)
        .contains("refused: " + Blanking.MARK, "password: " + Blanking.MARK, "faultText")
        .doesNotContain("Q7+pass", "pass/~", "word=x")
        .doesNotContain(java.util.HexFormat.of().formatHex("Q7+pass".getBytes(UTF_8)))
        .doesNotContain(coded.substring(6, coded.length() - 6));
    assertThat(agrees(recording.files().get(0))).isTrue();
  }

  @Test
  void aSecretThatWasChangedIsLeftOutFromTheNextConnectionOn() throws IOException {
    Path place = Files.writeString(folder.resolve("password"), "first-one\n");
    Recording recording = new Recording(folder.resolve("traces"));
    recording.secrets.add(new SecretPlace(place, null));
    DecisionWitness unused = recording.start(anyRules());
    Files.writeString(place, "second-one\n");
    recording.trace.text(Way.TO_DEVICE, "connect", "tcp://127.0.0.1", "");
    recording.trace.text(Way.FROM_DEVICE, "report", "FaultText", "first-one and second-one");
    recording.write();
    recording.write();
    recording.trace.close();
    assertThat(Files.readString(recording.files().get(0)))
        .contains(Blanking.MARK + " and " + Blanking.MARK)
        .doesNotContain("first-one", "second-one");
  }
}
