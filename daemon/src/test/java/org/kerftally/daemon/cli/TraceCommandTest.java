package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.service.DecisionWitness;
import org.kerftally.daemon.station.Decision;
import org.kerftally.daemon.station.RecordedRuns;
import org.kerftally.daemon.station.Senses;
import org.kerftally.daemon.station.StationRules;
import org.kerftally.daemon.station.StationState;
import org.kerftally.daemon.trace.TraceCodec;
import org.kerftally.daemon.trace.TraceLine;
import org.kerftally.protocol.LinkTap.Way;

/** What the verb says of a trace, and with which code it ends. */
final class TraceCommandTest {

  private static final Instant AT = Instant.parse("2027-03-01T23:59:59.500Z");

  @TempDir Path folder;
  private Path trace;

  @BeforeEach
  void record() throws IOException {
    List<TraceLine> lines = new ArrayList<>();
    RecordedRuns.oneCutBeside(rules -> new Keeping(rules, lines));
    lines.add(
        new TraceLine.Wire(
            AT, Way.FROM_DEVICE, "message", "kerftally/v1/saw1/state", "\u001b[2J\n{}", false, 7));
    lines.add(
        new TraceLine.Wire(
            AT.plusSeconds(1), Way.TO_DEVICE, "write", "Strobe ns=2;s=S", "true", false, 0));
    TraceCodec codec = new TraceCodec();
    trace = folder.resolve("saw1.trace.jsonl");
    Files.write(trace, lines.stream().map(codec::encode).toList());
  }

  /** Keeps decisions as the service writes them. */
  private record Keeping(StationRules rules, List<TraceLine> lines) implements DecisionWitness {

    Keeping {
      lines.add(
          new TraceLine.Header(
              TraceLine.FORMAT,
              "0.0-test",
              rules.name(),
              AT,
              "window: 0.1 mm\n",
              rules,
              StationState.EMPTY,
              Senses.NONE));
    }

    @Override
    public void decided(Question q, Decision d, boolean written) {
      lines.add(
          new TraceLine.Decided(
              q.now().wall(),
              q.now().nanos(),
              0,
              written,
              q.input(),
              d.events(),
              d.effects(),
              null));
    }

    @Override
    public void failed(Question question, Throwable failure) {}
  }

  @Test
  void everyLineIsARowAndNothingInItSteersTheTerminal() {
    Shell shell = Shell.run("trace", trace);
    assertThat(shell.code()).isZero();
    assertThat(shell.err()).isEmpty();
    assertThat(shell.out().lines())
        .contains(
            "2027-03-01, times in UTC",
            "23:59:59.500  <-  message         kerftally/v1/saw1/state  ?[2J?{}… (7 characters left"
                + " out)",
            "2027-03-02, times in UTC",
            "00:00:00.500  ->  write           Strobe ns=2;s=S  true")
        .anyMatch(row -> row.matches("08:.*  ev  cut-booked .* kind=suspect .*"))
        .anyMatch(row -> row.matches("08:.*  do  send .* target.position=150 mm .*"))
        .anyMatch(row -> row.matches("08:.*  in  snapshot +cut_count=1 .*"));
    assertThat(shell.out().chars().noneMatch(c -> c == 0x1b)).isTrue();
  }

  @Test
  void ofAMessageInJsonOnlyWhatChangedOnItsTopicIsShown() throws IOException {
    List<String> lines = new ArrayList<>(Files.readAllLines(trace).subList(0, 1));
    TraceCodec codec = new TraceCodec();
    for (String value :
        List.of(
            "{\"saw\":1,\"panel\":{\"ack\":3}}",
            "{\"saw\":2,\"panel\":{\"ack\":3}}",
            "{\"saw\":2}",
            "{\"saw\":2}",
            "{\"saw\":",
            "true")) {
      lines.add(
          codec.encode(
              new TraceLine.Wire(AT, Way.FROM_DEVICE, "message", "status", value, false, 0)));
    }
    Files.write(trace, lines);
    assertThat(Shell.run("trace", trace).out().lines().filter(row -> row.contains("message")))
        .map(row -> row.substring(row.indexOf("status")))
        .containsExactly(
            "status  {\"saw\":1,\"panel\":{\"ack\":3}}",
            "status  … saw=2",
            "status  … panel.ack=none",
            "status  … (no change)",
            "status  {\"saw\":",
            "status  true");
  }

  @Test
  void aReplayThatAgreesEndsWithZeroAndSaysEveryDecision() throws IOException {
    Shell shell = Shell.run("trace", "--replay", trace);
    assertThat(shell.code()).isZero();
    assertThat(shell.err()).isEmpty();
    long decisions = Files.readAllLines(trace).stream().filter(l -> l.contains("decided")).count();
    assertThat(shell.out().lines().filter(row -> row.contains("  same  ")))
        .hasSize((int) decisions);
    assertThat(shell.out()).endsWith(decisions + " decisions as recorded.\n");
  }

  @Test
  void aDifferenceIsShownAtItsLineRecordedBesideReplayed() throws IOException {
    List<String> lines = new ArrayList<>(Files.readAllLines(trace));
    int at = 0;
    while (!lines.get(at).contains("\"kind\":\"suspect\"")) {
      at++;
    }
    lines.set(at, lines.get(at).replace("\"kind\":\"suspect\"", "\"kind\":\"part\""));
    Files.write(trace, lines);
    Shell shell = Shell.run("trace", "--replay", trace);
    assertThat(shell.code()).isEqualTo(1);
    assertThat(shell.err())
        .contains("saw1.trace.jsonl, line " + (at + 1) + ": this version decides otherwise");
    assertThat(shell.out().lines())
        .anyMatch(row -> row.matches("  recorded.*cut-booked.*kind=part.*"))
        .anyMatch(row -> row.matches("  replayed.*cut-booked.*kind=suspect.*"));
  }

  @Test
  void byAnotherConfigurationItSaysWhereThatBeginsToMatter() throws IOException {
    Path config = folder.resolve("kerftally.yaml");
    Files.writeString(
        config,
        """
        folder: .
        stations:
          - name: saw1
            layout: outfeed-stop
            kerf: 3 mm
            lead-trim: 10 mm
            window: 5 mm
            travel: { min: 20 mm, max: 4000 mm }
            operator: { stick-loaded: assumed }
            link: { mqtt: { broker: "tcp://127.0.0.1:1883" } }
        """);
    Shell shell = Shell.run("trace", "--replay", "-c", config, trace);
    assertThat(shell.code()).as(shell.err()).isEqualTo(1);
    assertThat(shell.err()).contains("by the configuration that was given");
    assertThat(shell.out()).contains("kind=suspect");
    Shell wrong = Shell.run("trace", "-c", config, trace);
    assertThat(wrong.code()).isEqualTo(2);
  }

  @Test
  void theConfigurationIsPrintedAsItWas() {
    Shell shell = Shell.run("trace", "--configuration", trace);
    assertThat(shell.code()).isZero();
    assertThat(shell.out()).isEqualTo("window: 0.1 mm\n");
  }

  @Test
  void whatIsNoTraceOrNotThereIsSaidInOneLine() throws IOException {
    Path other = Files.writeString(folder.resolve("jobs.csv"), "part,length\n");
    for (Path file : List.of(other, folder.resolve("none"))) {
      Shell shell = Shell.run("trace", file);
      assertThat(shell.code()).isEqualTo(1);
      assertThat(shell.err().lines()).hasSize(1);
      assertThat(shell.err()).contains(file.getFileName().toString());
    }
  }

  @Test
  void aLastLineWithoutAnEndIsToldAndTolerated() throws IOException {
    String whole = Files.readString(trace);
    Files.writeString(trace, whole.substring(0, whole.length() - 4));
    Shell shell = Shell.run("trace", "--replay", trace);
    assertThat(shell.code()).isZero();
    assertThat(shell.out()).contains("has no end and was left out");
  }
}
