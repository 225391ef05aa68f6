package org.kerftally.daemon.trace;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.kerftally.config.SecretPlace;
import org.kerftally.daemon.service.DecisionWitness;
import org.kerftally.daemon.station.Decision;
import org.kerftally.daemon.station.StationRules;
import org.kerftally.daemon.station.StationState;

/** Records into a folder in one thread, and reads what was recorded. */
final class Recording {

  static final Instant NOON = Instant.parse("2027-03-01T12:00:00.117Z");

  private final Path folder;
  final List<SecretPlace> secrets = new ArrayList<>();
  String configuration = "stations: []\n";
  long maxFileBytes = TraceWriter.MAX_FILE_BYTES;
  TraceFiles.Disk disk = TraceFiles.DISK;
  long nanos;
  StationTrace trace;

  Recording(Path folder) {
    this.folder = folder;
  }

  /** Starts to record; everything that is recorded is written at once. */
  DecisionWitness start(StationRules rules) {
    Clock clock = Clock.fixed(NOON, ZoneOffset.UTC);
    TraceWriter writer =
        new TraceWriter(
            new TraceWriter.Subject("0.0-test", configuration, rules),
            StationState.EMPTY,
            new TraceFiles(folder, rules.name(), disk),
            new Blanking(secrets),
            clock,
            () -> nanos,
            maxFileBytes);
    trace = new StationTrace(writer, clock);
    return new DecisionWitness() {
      @Override
      public void decided(Question question, Decision decision, boolean written) {
        trace.decided(question, decision, written);
        write();
      }

      @Override
      public void failed(Question question, Throwable failure) {
        trace.failed(question, failure);
        write();
      }
    };
  }

  void write() {
    try {
      trace.step(0);
    } catch (InterruptedException e) {
      throw new AssertionError(e);
    }
  }

  List<Path> files() {
    try (Stream<Path> files = Files.list(folder)) {
      return files.sorted().toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  static TraceReader reader(String text) {
    return new TraceReader(new ByteArrayInputStream(text.getBytes(UTF_8)), "saw1.trace.jsonl");
  }

  /** Reads a file to its end, which must be a good one. */
  static List<TraceReader.Reading.Read> read(Path file) throws IOException {
    List<TraceReader.Reading.Read> lines = new ArrayList<>();
    try (TraceReader reader = TraceReader.open(file)) {
      for (var next = reader.next(); ; next = reader.next()) {
        if (next instanceof TraceReader.Reading.Read read) {
          lines.add(read);
        } else if (next instanceof TraceReader.Reading.Wrong wrong) {
          throw new AssertionError(wrong.problem().text());
        } else {
          return lines;
        }
      }
    }
  }
}
