package org.kerftally.daemon.intake;

import java.math.BigDecimal;
import java.util.Arrays;
import java.util.Locale;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.table.Cell;
import org.kerftally.daemon.intake.table.Problems;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthReader;
import org.kerftally.shared.length.LengthReading;
import org.kerftally.shared.length.LengthReading.Read;
import org.kerftally.shared.length.LengthReading.Unreadable;
import org.kerftally.shared.length.LengthUnit;

/**
 * Turns single cells into values. Each method returns {@code null} when the value is not fit, and
 * then has added the problem, or finds it added already. For one thread.
 */
final class CellReader {

  /** The longest part or stick: beyond it, a unit was forgotten. */
  static final Length MAX_LENGTH = Length.ofMm(100_000);

  /** The most pieces or sticks of one line. */
  static final int MAX_QUANTITY = 100_000;

  /** The least urgent priority. */
  static final int MAX_PRIORITY = 9;

  private static final Pattern WHOLE = Pattern.compile("[0-9]+");

  /** Three zeros could be thousands. */
  private static final Pattern TRAILING_ZEROS = Pattern.compile("([0-9]{1,9})[.,](?:0|00|0{4,9})");

  private static final Pattern COST = Pattern.compile("[0-9]{1,12}(?:[.,][0-9]{1,6})?");

  private final Problems problems;
  private final boolean decimalComma;

  CellReader(Problems problems, boolean decimalComma) {
    this.problems = problems;
    this.decimalComma = decimalComma;
  }

  /** Reads a length of more than zero and at most {@link #MAX_LENGTH}. */
  @Nullable Length length(Cell cell, LengthUnit unit) {
    if (cell.refused()) {
      return null;
    }
    LengthReading reading = LengthReader.read(cell.text(), unit, decimalComma);
    if (reading instanceof Unreadable unreadable) {
      problems.add(cell, unreadable.message(), unreadable.hint());
      return null;
    }
    Length length = ((Read) reading).length();
    if (!length.isPositive()) {
      problems.add(
          cell,
          cell.quoted() + (length.isNegative() ? " is a negative length" : " is no length at all"),
          "write a length of more than 0");
      return null;
    }
    if (length.isMoreThan(MAX_LENGTH)) {
      problems.add(
          cell,
          cell.quoted() + " is longer than 100 m, which no stick is",
          "write the number in " + unit.symbol() + ", or the unit that is meant behind it");
      return null;
    }
    return length;
  }

  /** Reads a whole number of pieces, from {@code least} to {@link #MAX_QUANTITY}. */
  @Nullable Integer quantity(Cell cell, int least) {
    if (cell.refused()) {
      return null;
    }
    String text = cell.text();
    String range = "write a whole number from " + least + " to " + MAX_QUANTITY;
    if (text.isEmpty()) {
      problems.add(cell, "the quantity is empty", range);
      return null;
    }
    if (!WHOLE.matcher(text).matches()) {
      var zeros = TRAILING_ZEROS.matcher(text);
      problems.add(
          cell,
          text.matches("-[0-9]+")
              ? cell.quoted() + " is a negative quantity"
              : cell.quoted() + " is no whole number written in digits",
          zeros.matches() ? "write " + zeros.group(1) : range);
      return null;
    }
    String digits = text.replaceFirst("^0+(?=.)", "");
    int quantity = digits.length() > 9 ? Integer.MAX_VALUE : Integer.parseInt(digits);
    if (quantity < least || quantity > MAX_QUANTITY) {
      problems.add(
          cell,
          cell.quoted() + (quantity < least ? " is too few" : " is too many"),
          quantity < least ? range + ", or delete the line" : range);
      return null;
    }
    return quantity;
  }

  /** Reads a priority from 1 to {@link #MAX_PRIORITY}. */
  @Nullable Integer priority(Cell cell) {
    if (cell.refused()) {
      return null;
    }
    if (!cell.text().matches("[1-9]")) {
      problems.add(
          cell,
          cell.quoted() + " is no priority",
          "write a whole number from 1 (first) to " + MAX_PRIORITY + ", or leave it empty");
      return null;
    }
    return cell.text().charAt(0) - '0';
  }

  /** Reads the symbol of a unit. */
  @Nullable LengthUnit unit(Cell cell) {
    if (cell.refused()) {
      return null;
    }
    String symbol = cell.text().toLowerCase(Locale.ROOT);
    for (LengthUnit unit : LengthUnit.values()) {
      if (unit.symbol().equals(symbol)) {
        return unit;
      }
    }
    String known =
        Arrays.stream(LengthUnit.values())
            .map(LengthUnit::symbol)
            .collect(Collectors.joining(", "));
    problems.add(cell, cell.quoted() + " is no known unit", "write one of " + known);
    return null;
  }

  /** Reads a cost: an exact decimal of at least zero. */
  @Nullable BigDecimal cost(Cell cell) {
    if (cell.refused()) {
      return null;
    }
    String text = cell.text();
    if (!COST.matcher(text).matches() || (!decimalComma && text.indexOf(',') >= 0)) {
      problems.add(
          cell,
          cell.quoted() + " is no cost of one stick",
          "write a plain decimal such as 12.50, at least 0, without a currency,"
              + " or leave it empty for a cost in proportion to length");
      return null;
    }
    return new BigDecimal(text.replace(',', '.'));
  }
}
