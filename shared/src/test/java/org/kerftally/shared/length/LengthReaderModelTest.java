package org.kerftally.shared.length;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.atomic.AtomicInteger;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.SeededCases;
import org.kerftally.shared.length.LengthReading.Read;

/** Holds the reader against the reference model, on texts that are right, and on mangled ones. */
final class LengthReaderModelTest {

  private static final int CASES = 20_000;

  private static final List<LengthUnit> UNITS = List.of(LengthUnit.values());

  private static final String[] PIECES = {
    "0", "1", "12", "505", "7", "64", "128", "10", "3", "1/2", "3/64", "1/3", "5/10", "/", ".", ",",
    ".5", ",25", ".125", "000", " ", " ", " ", "\u00a0", "-", "−", "'", "\"", "''", "′", "″", "’",
    "”", "½", "⅞", "mm", "cm", "m", "in", "IN", "in.", "ft", "Ft", "e", "x", "inch"
  };

  @Test
  void agreesOnRandomPiecesOfLengths() {
    AtomicInteger lengths = new AtomicInteger();
    SeededCases.run(
        CASES,
        random -> {
          StringBuilder text = new StringBuilder();
          int pieces = 1 + random.nextInt(6);
          for (int i = 0; i < pieces; i++) {
            text.append(pick(random, PIECES));
          }
          lengths.addAndGet(compare(text.toString(), random) ? 1 : 0);
        });
    assertMany(lengths, CASES / 50);
  }

  @Test
  void agreesOnWellFormedLengthsWithASlip() {
    AtomicInteger lengths = new AtomicInteger();
    SeededCases.run(
        CASES,
        random -> {
          StringBuilder text = new StringBuilder(wellFormed(random));
          if (random.nextInt(3) == 0) {
            int at = random.nextInt(text.length());
            switch (random.nextInt(3)) {
              case 0 -> text.deleteCharAt(at);
              case 1 -> text.insert(at, pick(random, PIECES));
              default -> text.replace(at, at + 1, pick(random, PIECES));
            }
          }
          lengths.addAndGet(compare(text.toString(), random) ? 1 : 0);
        });
    assertMany(lengths, CASES / 3);
  }

  private static void assertMany(AtomicInteger lengths, int least) {
    if (SeededCases.runsAll()) {
      assertThat(lengths.get()).as("texts that are lengths").isBetween(least, CASES - least);
    }
  }

  private static boolean compare(String text, SplittableRandom random) {
    LengthUnit unit = UNITS.get(random.nextInt(UNITS.size()));
    boolean comma = random.nextBoolean();
    @Nullable BigDecimal expected = ReferenceLengthReader.readNm(text, unit, comma);
    LengthReading reading = LengthReader.read(text, unit, comma);
    String as = "\"" + text + "\" in " + unit + (comma ? " with" : " without") + " decimal comma";
    if (expected == null) {
      assertThat(reading).as(as).isNotInstanceOf(Read.class);
      return false;
    }
    assertThat(reading)
        .as(as)
        .isInstanceOfSatisfying(
            Read.class,
            read ->
                assertThat(BigDecimal.valueOf(read.length().nm())).isEqualByComparingTo(expected));
    return true;
  }

  private static String wellFormed(SplittableRandom random) {
    String sign = random.nextInt(6) == 0 ? pick(random, "-", "−", "- ") : "";
    return sign
        + switch (random.nextInt(4)) {
          case 0 -> decimal(random) + blank(random) + pick(random, "", "mm", "cm", "M", "in", "ft");
          case 1 -> mixed(random) + blank(random) + pick(random, "", "in", "\"", "″", "IN.", "ft");
          case 2 -> random.nextInt(40) + blank(random) + pick(random, "ft", "'", "′", "’");
          default ->
              random.nextInt(40)
                  + pick(random, "ft ", "'", "′ ", " FT-", "' - ")
                  + (random.nextBoolean() ? mixed(random) : decimal(random))
                  + blank(random)
                  + pick(random, "in", "\"", "″", "''", "”");
        };
  }

  private static String decimal(SplittableRandom random) {
    int decimals = random.nextInt(8);
    String whole = String.valueOf(random.nextInt(14));
    return decimals == 0 ? whole : whole + pick(random, ".", ",") + digits(random, decimals);
  }

  private static String digits(SplittableRandom random, int count) {
    StringBuilder digits = new StringBuilder();
    for (int i = 0; i < count; i++) {
      digits.append((char) ('0' + random.nextInt(10)));
    }
    return digits.toString();
  }

  private static String mixed(SplittableRandom random) {
    int denominator = 1 << random.nextInt(9);
    String fraction =
        random.nextInt(4) == 0
            ? pick(random, "½", "¼", "¾", "⅛", "⅜", "⅝", "⅞")
            : random.nextInt(denominator + 1) + "/" + denominator;
    boolean alone = random.nextInt(4) == 0;
    return alone
        ? fraction
        : random.nextInt(14) + pick(random, " ", "-", " - ", "\u00a0") + fraction;
  }

  private static String blank(SplittableRandom random) {
    return pick(random, "", " ", "\u00a0", "  ");
  }

  private static String pick(SplittableRandom random, String... choices) {
    return choices[random.nextInt(choices.length)];
  }
}
