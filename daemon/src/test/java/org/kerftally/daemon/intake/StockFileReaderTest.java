package org.kerftally.daemon.intake;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.problem.Problem;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

class StockFileReaderTest {

  @Test
  void aRackIsReadWhole() {
    assertThat(
            good(
                """
                # rack in the yard
                material,length,qty,cost,kind,label
                pine-19x146,2440,,8.50,new,
                pine-19x146,871.2,1,,offcut,A-17
                alu-40x40,6 m,12,41.305,,
                """))
        .containsExactly(
            new StockItem(
                "pine-19x146",
                Length.ofMm(2440),
                null,
                new BigDecimal("8.50"),
                StickKind.NEW,
                null),
            new StockItem(
                "pine-19x146", Length.ofNm(871_200_000), 1, null, StickKind.OFFCUT, "A-17"),
            new StockItem(
                "alu-40x40", Length.ofMm(6000), 12, new BigDecimal("41.305"), StickKind.NEW, null));
  }

  @Test
  void onlyTheLengthIsRequired() {
    assertThat(good("# units: m\nlength\n2.44\n"))
        .containsExactly(new StockItem("", Length.ofMm(2440), null, null, StickKind.NEW, null));
  }

  @Test
  void aDecimalCommaIsReadBetweenSemicolons() {
    assertThat(good("length;cost\n2440,5;8,50\n").get(0).cost()).isEqualTo("8.50");
  }

  @Test
  void aHeaderRowAloneStatesAnEmptyRack() {
    assertThat(good("material,length,qty,cost,kind,label\n")).isEmpty();
  }

  @Test
  void noneOnTheRackMayBeWritten() {
    assertThat(good("length,qty\n2440,0\n").get(0).quantity()).isZero();
  }

  @Test
  void equalLinesAddUp() {
    assertThat(good("length,qty,label\n900,1,\n900,2,\n900,1,x\n800,1,\n800,,\n"))
        .extracting(StockItem::quantity)
        .containsExactly(3, 1, null);
  }

  @ParameterizedTest
  @CsvSource({
    "2440, -1, '', '', qty, negative",
    "2440, 1.5, '', '', qty, no whole",
    "2440, 100001, '', '', qty, too many",
    "0, 1, '', '', length, no length",
    "'', 1, '', '', length, empty",
    "2440, 1, -1, '', cost, no cost",
    "2440, 1, 8 EUR, '', cost, no cost",
    "2440, 1, 1e9, '', cost, no cost",
    "2440, 1, 1.1234567, '', cost, no cost",
    "2440, 1, 1234567890123, '', cost, no cost",
    "2440, 1, 8, used, kind, no known kind",
    "2440, 1, 8, in-saw, kind, no known kind",
  })
  void aValueThatIsNotFitIsRefused(
      String length, String qty, String cost, String kind, String column, String found) {
    List<Problem> problems =
        bad("length,qty,cost,kind\n" + String.join(",", length, qty, cost, kind) + "\n");
    assertThat(problems).hasSize(1);
    assertThat(problems.get(0).line()).isEqualTo(2);
    assertThat(problems.get(0).column()).isEqualTo(column);
    assertThat(problems.get(0).message()).contains(found);
  }

  @Test
  void allProblemsAreListedAtOnce() {
    assertThat(Reading.places(bad("# job: x\nlength,qty,colour\n0,x,\n2440,-1,\n")))
        .containsExactly("1:# job", "2:\"colour\"", "3:length", "3:qty", "4:qty");
  }

  @Test
  void aMaterialOnSomeLinesOnlyIsRefused() {
    List<Problem> problems = bad("material,length\npine,2440\n,2440\n");
    assertThat(Reading.places(problems)).containsExactly("3:material");
  }

  @Test
  void anEmptyFileIsRefusedForItMayBeHalfWritten() {
    assertThat(bad("")).hasSize(1);
    assertThat(bad("pine,2440\n").get(0).message()).contains("header row");
  }

  private static List<StockItem> good(String text) {
    StockReading reading = StockFileReader.read(text.getBytes(StandardCharsets.UTF_8), "stock.csv");
    assertThat(reading).isInstanceOf(StockReading.Good.class);
    return ((StockReading.Good) reading).items();
  }

  private static List<Problem> bad(String text) {
    StockReading reading = StockFileReader.read(text.getBytes(StandardCharsets.UTF_8), "stock.csv");
    assertThat(reading).isInstanceOf(StockReading.Bad.class);
    return ((StockReading.Bad) reading).problems();
  }
}
