package org.kerftally.sim;

import java.time.Instant;
import java.time.format.DateTimeFormatter;
import java.time.format.DateTimeFormatterBuilder;
import java.time.format.DateTimeParseException;
import java.util.List;
import java.util.Objects;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.length.Length;

/**
 * Writes and reads a cut as one line, as it stands in the truth and in the memory file.
 *
 * <pre>
 * boot,count,seq,position_mm,at
 * 9f86d081884c7d65,12,17,505.02,2027-03-01T09:15:02.117Z
 * </pre>
 *
 * <p>Times are RFC 3339 in UTC with three digits of a second.
 */
final class CutLine {
  private static final DateTimeFormatter AT =
      new DateTimeFormatterBuilder().appendInstant(3).toFormatter();
  private static final Pattern WHOLE = Pattern.compile("\\d{1,18}");
  private static final int FIELDS = 5;

  private CutLine() {}

  /** Returns the line without its end; the time must be there. */
  static String format(LastCut cut) {
    return String.join(
        ",",
        cut.boot(),
        Long.toString(cut.count()),
        Long.toString(cut.seq()),
        cut.position().toMm().toPlainString(),
        AT.format(Objects.requireNonNull(cut.at())));
  }

  /** Returns the cut in a line, {@code null} when it is not one. */
  static @Nullable LastCut parse(String line) {
    List<String> fields = List.of(line.split(",", -1));
    if (fields.size() != FIELDS
        || fields.get(0).isEmpty()
        || !WHOLE.matcher(fields.get(1)).matches()
        || !WHOLE.matcher(fields.get(2)).matches()) {
      return null;
    }
    Length position = Millimetres.parse(fields.get(3));
    Instant at = instant(fields.get(4));
    if (position == null || at == null) {
      return null;
    }
    return new LastCut(
        fields.get(0), Long.parseLong(fields.get(1)), Long.parseLong(fields.get(2)), position, at);
  }

  private static @Nullable Instant instant(String text) {
    try {
      return Instant.parse(text);
    } catch (DateTimeParseException e) {
      return null;
    }
  }
}
