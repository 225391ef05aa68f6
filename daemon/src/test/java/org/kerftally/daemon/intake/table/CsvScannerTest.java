package org.kerftally.daemon.intake.table;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class CsvScannerTest {

  private static final long SEED = 20270301L;
  private static final int ROUNDS = 3_000;
  private static final String PLAIN = "ab1 ,,;\n\n'#-";
  private static final String AWKWARD = "aß€\",;\t\n\r 1";

  @Test
  void recordsKnowTheirLineBehindAFieldOfSeveralLines() {
    List<CsvRow> rows = rows("a,b\r\n\"one\r\ntwo\nthree\",x\rlast,y", ',');
    assertThat(rows)
        .containsExactly(
            new CsvRow(1, List.of("a", "b"), null),
            new CsvRow(2, List.of("one\r\ntwo\nthree", "x"), null),
            new CsvRow(5, List.of("last", "y"), null));
  }

  @Test
  void aMarkInsideAnUnquotedFieldIsAnInchMark() {
    assertThat(rows("side,12 1/2\",4", ',').get(0).fields())
        .containsExactly("side", "12 1/2\"", "4");
  }

  @Test
  void aDoubledMarkInsideQuotationMarksIsOneMark() {
    assertThat(rows("\"12\"\"\",\"\",\"a,b\"", ',').get(0).fields())
        .containsExactly("12\"", "", "a,b");
  }

  @Test
  void blanksAroundAQuotedFieldAreDropped() {
    assertThat(rows("a,  \"b,c\"  ,d", ',').get(0).fields()).containsExactly("a", "b,c", "d");
  }

  @Test
  void aDelimiterAtTheEndMakesAnEmptyField() {
    assertThat(rows("a;\n;\n", ';'))
        .containsExactly(
            new CsvRow(1, List.of("a", ""), null), new CsvRow(2, List.of("", ""), null));
  }

  @Test
  void aLostQuotationMarkCostsOneLine() {
    List<CsvRow> rows = rows("a,\"b,c\nd,e,f\n", ',');
    assertThat(rows).hasSize(2);
    assertThat(rows.get(0).line()).isEqualTo(1);
    assertThat(rows.get(0).flaw().message()).contains("\"b,c\"").contains("never closed");
    assertThat(rows.get(1)).isEqualTo(new CsvRow(2, List.of("d", "e", "f"), null));
  }

  @Test
  void aMarkThatPairsWithOneOfALaterLineCostsOneLine() {
    List<CsvRow> rows = rows("\"a,1\nb,2\n\"c\",3\n", ',');
    assertThat(rows).extracting(CsvRow::line).containsExactly(1, 2, 3);
    assertThat(rows.get(0).flaw().message()).contains("behind the closing");
    assertThat(rows.get(2).fields()).containsExactly("c", "3");
  }

  @Test
  void moreFieldsThanAllowedAreAFlawOfTheirLine() {
    List<CsvRow> rows = rows(",".repeat(100_000) + "\na,b", ',');
    assertThat(rows.get(0).flaw().message()).contains("64");
    assertThat(rows.get(1).line()).isEqualTo(2);
  }

  @Test
  void linesFullOfLostMarksAreReadInReasonableTime() {
    // Each mark is searched for a bounded way only: this would be 10^10 steps otherwise.
    List<CsvRow> rows = rows("\",y\"\n\"q".repeat(20_000), ',');
    assertThat(rows).hasSizeGreaterThan(10_000);
  }

  /** Writes random records by the rules of RFC 4180 and reads them back. */
  @Test
  void everyRecordWrittenByTheRulesReadsBack() {
    SplittableRandom random = new SplittableRandom(SEED);
    for (int round = 0; round < ROUNDS; round++) {
      char delimiter = ",;\t".charAt(random.nextInt(3));
      String lineEnd = List.of("\n", "\r\n", "\r").get(random.nextInt(3));
      List<List<String>> written = new ArrayList<>();
      StringBuilder text = new StringBuilder();
      int count = 1 + random.nextInt(5);
      for (int i = 0; i < count; i++) {
        List<String> fields = new ArrayList<>();
        int width = 1 + random.nextInt(5);
        for (int j = 0; j < width; j++) {
          String field = field(random);
          fields.add(field);
          text.append(j == 0 ? "" : delimiter).append(quoted(field, delimiter, random));
        }
        written.add(fields);
        text.append(i + 1 < count || random.nextBoolean() ? lineEnd : "");
      }
      List<List<String>> read =
          rows(text.toString(), delimiter).stream().map(CsvRow::fields).toList();
      assertThat(read).as("round %d of seed %d: %s", round, SEED, text).isEqualTo(written);
    }
  }

  /** Splits plain lines with nothing quoted the naive way and compares. */
  @Test
  void plainLinesReadLikeWithANaiveSplit() {
    SplittableRandom random = new SplittableRandom(SEED + 1);
    for (int round = 0; round < ROUNDS; round++) {
      StringBuilder text = new StringBuilder("x");
      int chars = random.nextInt(60);
      for (int i = 0; i < chars; i++) {
        text.append(PLAIN.charAt(random.nextInt(PLAIN.length())));
      }
      List<List<String>> naive = new ArrayList<>();
      for (String line : text.toString().split("\n", -1)) {
        naive.add(List.of(line.split(",", -1)));
      }
      if (text.charAt(text.length() - 1) == '\n') {
        naive.remove(naive.size() - 1);
      }
      List<CsvRow> rows = rows(text.toString(), ',');
      assertThat(rows.stream().map(CsvRow::fields).toList())
          .as("round %d of seed %d: %s", round, SEED + 1, text)
          .isEqualTo(naive);
      for (int i = 0; i < rows.size(); i++) {
        assertThat(rows.get(i).line()).isEqualTo(i + 1);
      }
    }
  }

  private static String field(SplittableRandom random) {
    StringBuilder field = new StringBuilder();
    int chars = random.nextInt(6);
    for (int i = 0; i < chars; i++) {
      field.append(AWKWARD.charAt(random.nextInt(AWKWARD.length())));
    }
    return field.toString();
  }

  private static String quoted(String field, char delimiter, SplittableRandom random) {
    boolean must =
        field.isEmpty()
            || field.indexOf('"') >= 0
            || field.indexOf(delimiter) >= 0
            || field.indexOf('\n') >= 0
            || field.indexOf('\r') >= 0;
    return must || random.nextBoolean() ? '"' + field.replace("\"", "\"\"") + '"' : field;
  }

  private static List<CsvRow> rows(String text, char delimiter) {
    CsvScanner scanner = new CsvScanner(text, delimiter, 0, 1);
    List<CsvRow> rows = new ArrayList<>();
    for (CsvRow row = scanner.next(); row != null; row = scanner.next()) {
      rows.add(row);
    }
    return rows;
  }
}
