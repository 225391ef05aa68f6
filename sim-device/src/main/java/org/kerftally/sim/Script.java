package org.kerftally.sim;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.problem.Problem;

/**
 * Reads a script of timed actions: {@code at_seconds,action[,value]}, a line each.
 *
 * <pre>
 * # ten minutes in, somebody leans on the big red button
 * 600,estop
 * 640.5,estop-release
 * 900,defect,1210.5
 * 1200,power-cycle,8
 * </pre>
 *
 * <p>Seconds are simulated ones since the device was started. Lines may stand in any order; those
 * of the same second happen in the order of the file. Blank lines and those that start with {@code
 * #} are passed over. Every wrong line is reported, not only the first.
 */
final class Script {
  private static final int MAX_BYTES = 1 << 20;
  private static final int MAX_LINE = 200;

  /** Up to a day and more in seconds, down to whole nanoseconds. */
  private static final Pattern SECONDS = Pattern.compile("\\d{1,7}(\\.\\d{1,9})?");

  private final String fileName;
  private final List<TimedAction> actions = new ArrayList<>();
  private final List<Problem> problems = new ArrayList<>();

  private Script(String fileName) {
    this.fileName = fileName;
  }

  /**
   * Returns the actions in order of time.
   *
   * @throws SimInputException with every wrong line
   * @throws UncheckedIOException when the file cannot be read
   */
  static List<TimedAction> read(Path file) {
    try {
      if (Files.size(file) > MAX_BYTES) {
        throw new SimInputException(
            List.of(
                new Problem(
                    file.toString(),
                    0,
                    null,
                    "longer than " + MAX_BYTES + " bytes",
                    "Split the script over several runs.")));
      }
      return parse(new String(Files.readAllBytes(file), StandardCharsets.UTF_8), file.toString());
    } catch (IOException e) {
      throw new UncheckedIOException("cannot read the script " + file + ": " + e, e);
    }
  }

  /** Returns the actions of a text in order of time, see {@link #read}. */
  static List<TimedAction> parse(String text, String fileName) {
    Script script = new Script(fileName);
    int number = 0;
    for (String line : text.lines().toList()) {
      number++;
      String content = line.strip();
      if (!content.isEmpty() && !content.startsWith("#")) {
        script.take(content, number);
      }
    }
    if (!script.problems.isEmpty()) {
      throw new SimInputException(script.problems);
    }
    script.actions.sort(Comparator.comparingLong(TimedAction::atNanos));
    return List.copyOf(script.actions);
  }

  private void take(String line, int number) {
    if (line.length() > MAX_LINE) {
      report(number, null, "longer than " + MAX_LINE + " characters", null);
      return;
    }
    List<String> fields = Arrays.stream(line.split(",", -1)).map(String::strip).toList();
    if (fields.size() < 2 || fields.size() > 3) {
      report(number, null, "expected at_seconds,action[,value], found " + quoted(line), null);
      return;
    }
    Duration at = seconds(fields.get(0));
    if (at == null) {
      String message = "expected seconds such as 12.5, found " + quoted(fields.get(0));
      report(number, "at_seconds", message, null);
    }
    Optional<Action.Kind> kind = Action.Kind.ofWord(fields.get(1));
    if (kind.isEmpty()) {
      report(number, "action", "unknown action " + quoted(fields.get(1)), "Known: " + words());
      return;
    }
    Action action = action(kind.get(), fields.size() == 3 ? fields.get(2) : "", number);
    if (at != null && action != null) {
      actions.add(new TimedAction(at.toNanos(), action));
    }
  }

  private @Nullable Action action(Action.Kind kind, String value, int number) {
    return switch (kind.value()) {
      case NONE -> {
        if (!value.isEmpty()) {
          report(number, "value", kind.word() + " takes no value, found " + quoted(value), null);
          yield null;
        }
        yield Action.of(kind);
      }
      case OPTIONAL_SECONDS -> {
        Duration duration = value.isEmpty() ? null : seconds(value);
        if (duration == null && !value.isEmpty()) {
          report(
              number,
              "value",
              kind.word() + " takes seconds such as 8, found " + quoted(value),
              null);
          yield null;
        }
        yield new Action(kind, null, duration);
      }
      case LENGTH, OPTIONAL_LENGTH -> withLength(kind, value, number);
    };
  }

  private @Nullable Action withLength(Action.Kind kind, String value, int number) {
    if (value.isEmpty() && kind.value() == Action.Value.OPTIONAL_LENGTH) {
      return Action.of(kind);
    }
    Length length = Millimetres.parse(value);
    if (length == null || length.isNegative()) {
      report(
          number,
          "value",
          kind.word() + " takes " + Millimetres.EXPECTED + ", found " + quoted(value),
          null);
      return null;
    }
    return Action.of(kind, length);
  }

  private void report(int line, @Nullable String column, String message, @Nullable String hint) {
    problems.add(new Problem(fileName, line, column, message, hint));
  }

  private static @Nullable Duration seconds(String text) {
    if (!SECONDS.matcher(text).matches()) {
      return null;
    }
    return Duration.ofNanos(new BigDecimal(text).movePointRight(9).longValueExact());
  }

  private static String quoted(String text) {
    return '"' + text + '"';
  }

  private static String words() {
    return Arrays.stream(Action.Kind.values())
            .map(Action.Kind::word)
            .collect(Collectors.joining(", "))
        + ".";
  }
}
