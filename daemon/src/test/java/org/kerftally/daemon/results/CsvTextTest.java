package org.kerftally.daemon.results;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.StringReader;
import java.math.BigDecimal;
import java.util.List;
import java.util.Random;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class CsvTextTest {

  @ParameterizedTest
  @ValueSource(strings = {"=1+1", "+1", "-1", "@sum", "\tx", "\rx", "\nx", "=HYPERLINK(\"x\")"})
  void aTextThatWouldBeAFormulaIsPrefixed(String text) throws IOException {
    CsvText csv = new CsvText("a", "b").text(text).text("end").end();
    assertThat(read(csv).get(1).get(0)).isEqualTo("'" + text);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "side;=1+1 | side;'=1+1",
        "side, @sum | side, '@sum",
        "a\"=cmd | a\"'=cmd",
        "a\";\"=cmd | a\";\"'=cmd",
        "b;\uFF1D1 | b;'\uFF1D1",
        "a;\uFF20x | a;'\uFF20x",
        "19x146-2 | 19x146-2",
        "a = b | a = b",
        "a, b-c | a, b-c",
        "x@shop | x@shop",
      })
  void aTextIsNoFormulaToASpreadsheetWithAnotherDelimiterEither(String text, String expected)
      throws IOException {
    CsvText csv = new CsvText("a", "b").text("x").text(text).end();
    assertThat(read(csv).get(1).get(1)).isEqualTo(expected);
  }

  /** Splits a line as a program does that knows nothing of quotes, at whatever may part cells. */
  @Test
  void howeverALineIsSplitNoCellIsAFormula() {
    Random random = new Random(20270302);
    String alphabet = "ab ,;|\"'\r\n\t=+-@\uFF1D";
    for (int round = 0; round < 5_000; round++) {
      StringBuilder text = new StringBuilder();
      for (int i = random.nextInt(8); i > 0; i--) {
        text.append(alphabet.charAt(random.nextInt(alphabet.length())));
      }
      String line = new CsvText("h").text("x").text(text.toString()).text("y").end().toString();
      for (String cell : line.split("[,;|\"\t\r\n]", -1)) {
        assertThat(cell.strip()).as("%s in %s", text, line).doesNotMatch("[=+@\uFF1D-].*");
      }
    }
  }

  @Test
  void numbersAreNeverPrefixedAndHaveNoExponent() {
    CsvText csv =
        new CsvText("a")
            .number(new BigDecimal("-3.2"))
            .number(new BigDecimal("1E+9"))
            .number(-7)
            .number((Long) null)
            .end();
    assertThat(csv.toString()).isEqualTo("a\r\n-3.2,1000000000,-7,\r\n");
  }

  @Test
  void writesRfc4180() {
    CsvText csv = new CsvText("a", "b").text("say \"x\", y").text("two\r\nlines").end();
    assertThat(csv.toString()).isEqualTo("a,b\r\n\"say \"\"x\"\", y\",\"two\r\nlines\"\r\n");
  }

  @Test
  void emptyFieldsKeepTheirPlaces() {
    assertThat(new CsvText("a", "b", "c").text(null).text("").number(1).end().toString())
        .isEqualTo("a,b,c\r\n,,1\r\n");
  }

  /** Read back by an independent reader of RFC 4180. */
  @Test
  void whateverIsWrittenReadsBack() throws IOException {
    long seed = 20270301;
    Random random = new Random(seed);
    String alphabet = "ab ,;\"'\r\n\té#=+-@0\u00a0";
    for (int round = 0; round < 2_000; round++) {
      StringBuilder text = new StringBuilder();
      int length = random.nextInt(6);
      for (int i = 0; i < length; i++) {
        text.append(alphabet.charAt(random.nextInt(alphabet.length())));
      }
      String field = text.toString();
      String back = read(new CsvText("h", "i").text("x").text(field).end()).get(1).get(1);
      assertThat(back).as("seed %d round %d", seed, round).isEqualTo(guarded(field));
    }
  }

  /** Puts the apostrophes in character by character. */
  private static String guarded(String field) {
    StringBuilder text = new StringBuilder();
    boolean cellBegins = true;
    for (int i = 0; i < field.length(); i++) {
      char c = field.charAt(i);
      if (cellBegins && field.substring(i).matches("(?s)'*[=+@-].*")) {
        text.append("'");
      }
      boolean parts = ",;|\"\t\r\n".indexOf(c) >= 0;
      cellBegins = parts || (cellBegins && (c == ' ' || c == '\u00a0'));
      text.append(c);
    }
    boolean breaks = field.matches("(?s)'*[\t\r\n].*");
    return (breaks ? "'" : "") + text;
  }

  private static List<CSVRecord> read(CsvText csv) throws IOException {
    return CSVFormat.RFC4180.parse(new StringReader(csv.toString())).getRecords();
  }
}
