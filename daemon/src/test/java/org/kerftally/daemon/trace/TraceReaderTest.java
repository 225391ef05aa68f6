package org.kerftally.daemon.trace;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.station.RecordedRuns;
import org.kerftally.daemon.trace.TraceReader.Reading;

/** Damaged traces end in a problem with its line, or in a word on their end. */
final class TraceReaderTest {

  @TempDir Path folder;
  private String good;

  @BeforeEach
  void record() throws IOException {
    Recording recording = new Recording(folder);
    RecordedRuns.oneCutBeside(recording::start);
    recording.trace.close();
    good = Files.readString(recording.files().get(0));
  }

  private static Reading last(TraceReader reader) throws IOException {
    Reading next = reader.next();
    while (next instanceof Reading.Read) {
      next = reader.next();
    }
    return next;
  }

  private static String problem(String text) throws IOException {
    return problem(Recording.reader(text));
  }

  private static String problem(TraceReader reader) throws IOException {
    return ((Reading.Wrong) last(reader)).problem().text();
  }

  @Test
  void aWholeTraceIsReadToItsEnd() throws IOException {
    assertThat(last(Recording.reader(good))).isEqualTo(new Reading.End(0));
  }

  @Test
  void aLastLineWithoutAnEndIsToldAndTolerated() throws IOException {
    String cut = good.substring(0, good.length() - 5);
    int lines = (int) good.lines().count();
    assertThat(last(Recording.reader(cut))).isEqualTo(new Reading.End(lines));
  }

  @Test
  void anotherFormatIsNamedWithItsMend() throws IOException {
    assertThat(problem(good.replaceFirst("\"format\":1", "\"format\":2")))
        .contains("saw1.trace.jsonl, line 1")
        .contains("format 1, found 2")
        .endsWith("Kerftally 0.0-test wrote the file; that version reads it if it is whole.");
    assertThat(problem(good.replaceFirst("\"window_nm\":[0-9]+,", "")))
        .contains("line 1", "$.header.rules.window_nm: missing", "Kerftally 0.0-test wrote");
  }

  @Test
  void aLineOfGarbageIsNamedWithItsNumberAndNothingInItSteersATerminal() throws IOException {
    int second = good.indexOf('\n') + 1;
    String text = problem(good.substring(0, second) + "\u001b[2J?\n" + good.substring(second));
    assertThat(text).contains("line 2").contains("0.0-test");
    assertThat(text.chars().noneMatch(Character::isISOControl)).as(text).isTrue();
  }

  @Test
  void aMissingHeaderIsSaid() throws IOException {
    assertThat(problem(good.substring(good.indexOf('\n') + 1)))
        .contains("line 1", "begins with a header", "whole from its first line");
    assertThat(problem("")).contains("line 1", "the file is empty");
    assertThat(problem("{\"header\"")).contains("line 1", "the header has no end");
  }

  @Test
  void aFieldThatIsMissingIsNamedWithItsPlace() throws IOException {
    String text = problem(good.replaceFirst("\"at\":\"[^\"]+\",\"nanos\"", "\"nanos\""));
    assertThat(text).contains("line 2", "$.decided.at: missing");
  }

  @Test
  void anEndlessLineIsGivenUpAtItsBound() throws IOException {
    long[] given = {0};
    InputStream endless =
        new InputStream() {
          @Override
          public int read() {
            given[0]++;
            return 'x';
          }

          @Override
          public int read(byte[] to, int from, int count) {
            java.util.Arrays.fill(to, from, from + count, (byte) 'x');
            given[0] += count;
            return count;
          }
        };
    assertThat(problem(new TraceReader(endless, "endless"))).contains("line 1", "over");
    assertThat(given[0]).isLessThan(TraceReader.MAX_LINE_BYTES + 100_000L);
  }

  @Test
  void textThatIsNoUtf8IsSaid() throws IOException {
    InputStream bytes = new java.io.ByteArrayInputStream(new byte[] {(byte) 0xff, '\n'});
    assertThat(problem(new TraceReader(bytes, "b"))).contains("b, line 1", "UTF-8");
  }
}
