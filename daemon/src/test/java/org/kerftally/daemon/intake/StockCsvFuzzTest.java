package org.kerftally.daemon.intake;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Timeout;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Holds that the bytes of a stock file are sticks within bounds, which written anew read as the
 * same, or a list of problems that name their places; and that neither takes more memory than a
 * small multiple of the bytes given.
 */
final class StockCsvFuzzTest {

  private static final int MOST_CELL_CHARS = 200;

  @FuzzTest
  @Timeout(value = 300, unit = TimeUnit.SECONDS)
  void bytesAreAStockOrProblemsWithTheirPlaces(byte[] bytes) {
    StockReading reading =
        Allocation.bounded(bytes.length, () -> StockFileReader.read(bytes, "stock.csv"));
    if (reading instanceof StockReading.Bad bad) {
      JobFileFuzz.assertNamePlaces(bad.problems(), bytes, "stock.csv");
      return;
    }
    List<StockItem> items = ((StockReading.Good) reading).items();
    items.forEach(StockCsvFuzzTest::assertWithinBounds);
    boolean someNamed = items.stream().anyMatch(item -> !item.material().isEmpty());
    assertThat(items).allMatch(item -> someNamed != item.material().isEmpty());
    byte[] anew = csv(items).getBytes(StandardCharsets.UTF_8);
    assertThat(StockFileReader.read(anew, "again.csv")).isEqualTo(new StockReading.Good(items));
  }

  private static void assertWithinBounds(StockItem item) {
    assertThat(item.length().isPositive()).isTrue();
    assertThat(item.length()).isLessThanOrEqualTo(CellReader.MAX_LENGTH);
    assertThat(item.kind()).isIn(StickKind.NEW, StickKind.OFFCUT);
    Integer quantity = item.quantity();
    if (quantity != null) {
      assertThat(quantity).isBetween(0, CellReader.MAX_QUANTITY);
    }
    if (item.cost() != null) {
      assertThat(item.cost().signum()).isNotNegative();
      assertThat(item.cost().precision()).isLessThanOrEqualTo(18);
    }
    if (!item.material().isEmpty()) {
      JobFileFuzz.assertCell(item.material(), MOST_CELL_CHARS);
    }
    if (item.label() != null) {
      JobFileFuzz.assertCell(item.label(), MOST_CELL_CHARS);
    }
  }

  private static String csv(List<StockItem> items) {
    StringBuilder csv = new StringBuilder("material,length,qty,cost,kind,label\n");
    for (StockItem item : items) {
      Length length = item.length();
      csv.append(quoted(item.material())).append(',').append(length).append(',');
      csv.append(item.quantity() == null ? "" : item.quantity()).append(',');
      csv.append(item.cost() == null ? "" : item.cost().toPlainString()).append(',');
      csv.append(item.kind().word()).append(',').append(quoted(item.label())).append('\n');
    }
    return csv.toString();
  }

  private static String quoted(@Nullable String text) {
    return text == null ? "" : '"' + text.replace("\"", "\"\"") + '"';
  }
}
