package org.kerftally.daemon.intake;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.intake.Reading.placesCsv;
import static org.kerftally.daemon.intake.Reading.problemCsv;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.daemon.intake.ShopFacts.PartLimits;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.problem.Problem;

class JobFileRefusalTest {

  private static final String HEADER = "part,length,qty,material\n";

  @Test
  void allProblemsOfAFileAreListedAtOnceEachWithLineAndColumn() {
    assertThat(
            placesCsv(
                """
                # due: tomorrow
                # colour: red
                part,length,qty,material,priority
                a,-505,1,pine-19x146,
                b,505,2.5,pine-19x146,
                c,505,1,pin-19x146,
                d,12x,0,oak,11

                e,2400,1,pine-19x146,
                """))
        .containsExactly(
            "1:# due",
            "2:# colour",
            "4:length",
            "5:qty",
            "6:material",
            "7:length",
            "7:qty",
            "7:priority",
            "7:material",
            "9:length");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "-505     | negative       | more than 0",
        "0        | no length      | more than 0",
        "0 mm     | no length      | more than 0",
        "101 m    | 100 m          | unit",
        "9e9      | exponent       | digits",
        "12,5x    | \"12           | ",
        "505mmm   | not known      | mm",
        "''       | empty          | 505",
      })
  void aLengthThatIsNoneIsRefused(String length, String found, String mend) {
    Problem problem =
        problemCsv(HEADER + "side,\"" + length.replace("\"", "\"\"") + "\",1,pine-19x146\n");
    assertThat(problem.line()).isEqualTo(2);
    assertThat(problem.column()).isEqualTo("length");
    assertThat(problem.message()).contains(found);
    assertThat(problem.hint()).contains(mend == null ? "" : mend);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "0          | too few     | delete the line",
        "-3         | negative    | from 1 to 100000",
        "2.5        | no whole    | from 1 to 100000",
        "2.0        | no whole    | write 2",
        "1e3        | no whole    | from 1 to 100000",
        "1.000      | no whole    | from 1 to 100000",
        "100001     | too many    | from 1 to 100000",
        "9999999999 | too many    | from 1 to 100000",
        "٣          | no whole    | from 1 to 100000",
        "4 pcs      | no whole    | from 1 to 100000",
        "''         | empty       | from 1 to 100000",
      })
  void aQuantityThatIsNoWholeNumberIsRefused(String quantity, String found, String mend) {
    Problem problem = problemCsv(HEADER + "side,505," + quantity + ",pine-19x146\n");
    assertThat(problem.column()).isEqualTo("qty");
    assertThat(problem.message()).contains(found);
    assertThat(problem.hint()).contains(mend);
  }

  @Test
  void anUnknownMaterialIsAnsweredWithTheNearest() {
    Problem problem = problemCsv(HEADER + "side,505,1,Pine-19x164\n");
    assertThat(problem.text())
        .isEqualTo(
            "supers.csv, line 2, material: \"Pine-19x164\" is not in stock. write pine-19x146");
    assertThat(problemCsv(HEADER + "side,505,1,oak\n").hint())
        .isEqualTo("write one of pine-19x146, pine-27x22");
  }

  @Test
  void aMissingMaterialIsRefusedWhereTheStockHasSeveral() {
    assertThat(problemCsv(HEADER + "side,505,1,\n").message()).contains("has several");
    assertThat(problemCsv("length,qty\n505,1\n").column()).isEqualTo("material");
  }

  @Test
  void aMaterialIsRefusedWhereTheStockNamesNone() {
    JobReading reading = Reading.read("a.csv", HEADER + "a,505,1,oak\n", Facts.shop(""));
    assertThat(Reading.bad(reading).get(0).hint()).contains("leave it empty");
  }

  @Test
  void aJobWithoutAnyStockIsRefusedOnce() {
    JobReading reading =
        Reading.read("a.csv", HEADER + "a,5,1,x\nb,5,1,x\n", new Facts(List.of(), Map.of()));
    assertThat(Reading.bad(reading)).hasSize(1);
    assertThat(Reading.bad(reading).get(0).hint()).contains("stock.csv");
  }

  @Test
  void aPartLongerThanAnyStickIsRefused() {
    Problem problem =
        Reading.bad(
                Reading.read(
                    "a.csv",
                    "# units: m\nlength,qty\n2.435,1\n",
                    new Facts(
                        List.of(),
                        Map.of("ash", new PartLimits(Length.ofMm(2440), Length.ofMm(2430), null)))))
            .get(0);
    assertThat(problem.message())
        .isEqualTo("\"2.435\" is longer than any stick of ash allows: the longest is 2.44 m");
    assertThat(problem.hint()).startsWith("write at most 2.43 m");
  }

  @Test
  void aPartBeyondTheStopsTravelIsRefusedAtBothEnds() {
    assertThat(problemCsv(HEADER + "a,2301,1,pine-19x146\n").message()).contains("2300 mm");
    assertThat(problemCsv(HEADER + "a,19.9,1,pine-19x146\n").message()).contains("20 mm");
    Reading.goodCsv(HEADER + "a,2300,1,pine-19x146\nb,20,1,pine-19x146\n");
  }

  @Test
  void aMissingRequiredColumnIsRefused() {
    assertThat(problemCsv("part,length,material\na,505,pine-19x146\n").text())
        .isEqualTo(
            "supers.csv, line 1, qty: the header row has no column qty."
                + " add qty to the header row, and its value to every line");
    assertThat(problemCsv("part,qty,material\na,1,pine-19x146\n").column()).isEqualTo("length");
  }

  @Test
  void aDoubledColumnIsRefused() {
    Problem problem = problemCsv("length,qty,Length,material\n505,1,404,pine-19x146\n");
    assertThat(problem.message()).contains("length twice");
  }

  @Test
  void anUnknownColumnIsAnsweredWithTheNearest() {
    Problem problem = problemCsv("length,qty,noet,material\n505,1,up,pine-19x146\n");
    assertThat(problem.column()).isEqualTo("\"noet\"");
    assertThat(problem.hint()).startsWith("write note if that is meant");
  }

  @Test
  void aFileWithoutAHeaderRowIsToldWhatToWrite() {
    Problem problem = problemCsv("super side,505,40,pine-19x146\n");
    assertThat(problem.message()).contains("header row was expected").contains("super side");
    assertThat(problem.hint()).contains("part,length,qty,material,priority,note");
  }

  @Test
  void aLineWithMoreValuesThanColumnsIsRefusedWithTheDecimalCommaInMind() {
    Problem problem = problemCsv("length,qty,material\n505,5,40,pine-19x146\n");
    assertThat(problem.message()).contains("4 values").contains("3 columns");
    assertThat(problem.hint()).contains("decimals with a point");
  }

  @ParameterizedTest
  @ValueSource(strings = {"", " \n\r\n", "\uFEFF"})
  void anEmptyFileIsRefused(String text) {
    assertThat(problemCsv(text).message()).isEqualTo("the file is empty");
  }

  @Test
  void aFileWithNothingBelowItsHeaderRowIsRefused() {
    assertThat(problemCsv("part,length,qty\n").message()).contains("names no part");
    assertThat(problemCsv("# job: a\n").message()).contains("no header row");
  }

  @Test
  void onePartNameWithTwoLengthsIsRefused() {
    Problem problem = problemCsv(HEADER + "a,505,1,pine-19x146\na,506,1,pine-19x146\n");
    assertThat(problem.line()).isEqualTo(3);
    assertThat(problem.message()).contains("another length on line 2");
  }

  @Test
  void onePartWithTwoPrioritiesIsRefused() {
    Problem problem =
        problemCsv("length,qty,material,priority\n5 cm,1,pine-19x146,1\n5 cm,1,pine-19x146,2\n");
    assertThat(problem.column()).isEqualTo("priority");
  }

  @Test
  void quantitiesThatAddUpToTooManyAreRefused() {
    assertThat(problemCsv(HEADER + "a,505,99999,pine-19x146\n".repeat(2)).column())
        .isEqualTo("qty");
    StringBuilder text = new StringBuilder(HEADER);
    for (int i = 0; i < 30; i++) {
      text.append("a").append(i).append(",505,100000,pine-19x146\n");
    }
    assertThat(problemCsv(text.toString()).line()).isEqualTo(12);
  }

  @ParameterizedTest
  @CsvSource({
    "due: 1.3.2027, year-month-day",
    "due: 2027-02-30, exists",
    "units: yards, 'mm, cm, m, in, ft'",
    "priority: 10, from 1",
    "priority: high, from 1",
    "station: saw3, saw",
    "jbo: x, write # job",
    "note: x, known keys are job",
  })
  void aStatementThatCannotBeReadIsRefused(String statement, String mend) {
    Problem problem = problemCsv("# " + statement + "\n" + HEADER + "a,505,1,pine-19x146\n");
    assertThat(problem.line()).isEqualTo(1);
    assertThat(problem.hint()).contains(mend);
  }

  @Test
  void aStatementMadeTwiceOrBelowTheHeaderRowIsRefused() {
    String row = "a,505,1,pine-19x146\n";
    assertThat(placesCsv("# job: a\n#job:b\n" + HEADER + row)).containsExactly("2:# job");
    assertThat(placesCsv(HEADER + row + "# due: 2027-03-01\n")).containsExactly("3:# due");
  }

  @Test
  void aRowThatWasTurnedIntoARemarkIsRefusedNotDropped() {
    Problem problem = problemCsv(HEADER + "#b,505,1,pine-19x146\na,505,1,pine-19x146\n");
    assertThat(problem.line()).isEqualTo(2);
    assertThat(problem.hint()).contains("delete the line");
  }

  @Test
  void aLostQuotationMarkIsReportedAtItsLineAndTheRestIsStillRead() {
    assertThat(
            placesCsv(HEADER + "\"a,505,1,pine-19x146\nb,505,x,pine-19x146\nc,0,1,pine-19x146\n"))
        .containsExactly("2:part", "3:qty", "4:length");
  }

  @Test
  void aValueWithALineBreakOrAnInvisibleCharacterIsRefused() {
    assertThat(problemCsv(HEADER + "\"a\nb\",505,1,pine-19x146\n").message())
        .contains("line break");
    assertThat(problemCsv(HEADER + "a\u202Eb,505,1,pine-19x146\n").message()).contains("U+202E");
    assertThat(problemCsv(HEADER + "a\u0007,505,1,pine-19x146\n").message()).contains("U+0007");
  }

  @Test
  void aValueOfMoreThan200CharactersIsRefused() {
    Problem problem = problemCsv(HEADER + "a".repeat(201) + ",505,1,pine-19x146\n");
    assertThat(problem.message()).contains("201 characters").hasSizeLessThan(120);
    Reading.goodCsv(HEADER + "a".repeat(200) + ",505,1,pine-19x146\n");
  }

  @Test
  void anOverLongFileIsRefused() {
    StringBuilder text = new StringBuilder(HEADER);
    for (int i = 0; i < 20_000; i++) {
      text.append("a,505,1,pine-19x146\n");
    }
    Problem problem = problemCsv(text.toString());
    assertThat(problem.line()).isEqualTo(20_001);
    assertThat(problem.message()).contains("20000 lines");
  }

  @Test
  void moreProblemsThanAreListedAreCounted() {
    List<Problem> problems =
        Reading.bad(
            Reading.read("a.csv", HEADER + "a,505,x,pine-19x146\n".repeat(1_500), Facts.shop()));
    assertThat(problems).hasSize(1_001);
    assertThat(problems.get(1_000).message()).isEqualTo("500 more problems are not listed");
  }

  @Test
  void aFileThatIsNoTextIsRefused() {
    assertThat(
            Reading.bad(
                    JobFileReader.read(
                        new byte[] {'P', 'K', 3, 4}, "a.csv", Facts.shop(), id -> false))
                .get(0)
                .message())
        .contains("workbook");
  }
}
