package org.kerftally.daemon.results;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.intake.StockFileReader;
import org.kerftally.daemon.intake.StockReading;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.Offcut;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/** Holds the writer of {@code offcuts.csv} and the reader of stock files against each other. */
final class OffcutsFileTest {

  private static final int ROUNDS = 5_000;
  private static final String BEGINNINGS = "=+-@'#\"\uFF1Da";
  private static final String ALPHABET = "ab =+-@',;|\"#\u00e9\uFF20";

  @Test
  void labelsAndMaterialsThatLookLikeFormulasReadBackAsTheyWere() {
    List<Offcut> offcuts =
        List.of(
            new Offcut("=A1", "-40x20", Length.ofMm(871), "j"),
            new Offcut("'=A1", "-40x20", Length.ofMm(872), "j"),
            new Offcut("@rack;+2", "-40x20", Length.ofMm(873), "j"));
    String csv = ResultTables.offcuts(offcuts);

    assertThat(csv).contains(",'=A1\r\n").doesNotContain(",=A1").doesNotContain("\n-40x20");
    assertThat(read(csv, "offcuts.csv")).isEqualTo(sticks(offcuts));
  }

  @Test
  void whateverIsWrittenReadsBackAsItWas() {
    for (long seed = 0; seed < ROUNDS; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      List<Offcut> offcuts = new ArrayList<>();
      for (int i = 1 + random.nextInt(3); i > 0; i--) {
        Length length = Length.ofNm(1 + random.nextLong(6_000_000_000L));
        offcuts.add(new Offcut(name(random), name(random), length, "j"));
      }
      String csv = ResultTables.offcuts(offcuts);
      assertThat(read(csv, "offcuts.csv")).as("seed %d: %s", seed, csv).isEqualTo(sticks(offcuts));
    }
  }

  /** What the office writes means what it says. */
  @Test
  void noApostropheIsTakenFromTheOfficesOwnFile() {
    String csv = "material,length,label\r\n'-40x20,871 mm,'=A1\r\n";

    assertThat(read(csv, "stock.csv"))
        .containsExactly(
            new StockItem("'-40x20", Length.ofMm(871), null, null, StickKind.NEW, "'=A1"));
  }

  private static List<StockItem> read(String csv, String name) {
    StockReading reading = StockFileReader.read(csv.getBytes(UTF_8), name);
    assertThat(reading).as(csv).isInstanceOf(StockReading.Good.class);
    return ((StockReading.Good) reading).items();
  }

  /** Sticks that are alike are one line of stock. */
  private static List<StockItem> sticks(List<Offcut> offcuts) {
    List<StockItem> items = new ArrayList<>();
    for (Offcut each : offcuts) {
      StockItem item =
          new StockItem(each.material(), each.length(), 1, null, StickKind.OFFCUT, each.label());
      assertThat(items).doesNotContain(item);
      items.add(item);
    }
    return items;
  }

  private static String name(SplittableRandom random) {
    StringBuilder name = new StringBuilder();
    name.append(BEGINNINGS.charAt(random.nextInt(BEGINNINGS.length())));
    for (int i = random.nextInt(6); i > 0; i--) {
      name.append(ALPHABET.charAt(random.nextInt(ALPHABET.length())));
    }
    return name.toString().strip();
  }
}
