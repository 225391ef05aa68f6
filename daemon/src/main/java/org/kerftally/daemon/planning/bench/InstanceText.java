package org.kerftally.daemon.planning.bench;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.packing.Instance;
import org.kerftally.daemon.planning.packing.StickType;
import org.kerftally.shared.problem.Problem;
import org.kerftally.shared.stock.StickKind;

/**
 * Reads the two plain text formats that published instances come in. All numbers are whole.
 *
 * <p>One stick length, as in BPPLIB's files for cutting stock:
 *
 * <pre>
 *   m
 *   length
 *   size demand          (m lines)
 * </pre>
 *
 * <p>Several stick lengths, each in limited number and with its own cost:
 *
 * <pre>
 *   t
 *   length number cost   (t lines)
 *   m
 *   size demand          (m lines)
 * </pre>
 *
 * <p>They are told apart by the second line. Blank lines are skipped, columns are parted by blanks
 * or tabs. One size may stand on several lines. Everything is bounded, so that no sum can overflow.
 */
public final class InstanceText {

  /** The most item types, and the most stick types. */
  static final int MOST_LINES = 100_000;

  /** The most pieces in all. */
  static final int MOST_PIECES = 1_000_000;

  /** The largest length, size or cost. */
  static final long MOST_LENGTH = 10_000_000_000L;

  private static final int MOST_DIGITS = 11;

  private final String file;
  private final List<Line> lines = new ArrayList<>();
  private int at;

  private record Line(int number, List<String> words) {}

  /** Holds an instance or what is wrong with its text. */
  public sealed interface Reading {}

  /** An instance as it was read. */
  public record Good(Instance instance) implements Reading {}

  /** Says what is wrong: the first thing only, since what follows depends on it. */
  public record Bad(Problem problem) implements Reading {}

  private static final class Fault extends Exception {
    private static final long serialVersionUID = 1L;
    private final transient Problem problem;

    Fault(Problem problem) {
      super(problem.text());
      this.problem = problem;
    }
  }

  private InstanceText(String file, String text) {
    this.file = file;
    int number = 0;
    for (String line : text.lines().toList()) {
      number++;
      if (!line.isBlank()) {
        lines.add(new Line(number, List.of(line.strip().split("\\s+", -1))));
      }
    }
  }

  /**
   * Reads an instance.
   *
   * @param file the file's name, for messages
   * @param text what it holds
   */
  public static Reading read(String file, String text) {
    InstanceText reader = new InstanceText(file, text);
    try {
      return new Good(reader.instance());
    } catch (Fault e) {
      return new Bad(e.problem);
    }
  }

  private Instance instance() throws Fault {
    boolean several = lines.size() > 1 && lines.get(1).words().size() == 3;
    List<long[]> sticks = new ArrayList<>();
    if (several) {
      int types = (int) number(next(1), 0, "stick lengths", 1, MOST_LINES);
      for (int t = 0; t < types; t++) {
        Line line = next(3);
        sticks.add(
            new long[] {
              number(line, 0, "length", 1, MOST_LENGTH),
              number(line, 1, "number", 0, MOST_LENGTH),
              number(line, 2, "cost", 0, MOST_LENGTH)
            });
      }
    }
    int items = (int) number(next(1), 0, "item types", 0, MOST_LINES);
    if (!several) {
      long length = number(next(1), 0, "length", 1, MOST_LENGTH);
      sticks.add(new long[] {length, MOST_PIECES, 1});
    }
    Demands demands = new Demands();
    for (int i = 0; i < items; i++) {
      Line line = next(2);
      long size = number(line, 0, "size", 1, MOST_LENGTH);
      int wanted = (int) number(line, 1, "demand", 0, MOST_PIECES);
      demands.add(size, wanted);
      if (demands.pieces() > MOST_PIECES) {
        throw fault(line, null, "more than " + MOST_PIECES + " pieces in all", "Split it.");
      }
    }
    if (at < lines.size()) {
      Line line = lines.get(at);
      throw fault(
          line,
          null,
          items + " item lines are stated and read, here is more",
          "Check the number of items, or remove the rest.");
    }
    List<StickType> types = new ArrayList<>();
    for (long[] stick : sticks) {
      int available = (int) Math.min(stick[1], demands.pieces());
      types.add(new StickType(stick[0], stick[0], available, stick[2], StickKind.NEW));
    }
    return demands.into(types);
  }

  private Line next(int words) throws Fault {
    if (at == lines.size()) {
      int last = lines.isEmpty() ? 0 : lines.get(at - 1).number();
      throw new Fault(
          new Problem(file, last, null, "the file ends too early", "It may be cut short."));
    }
    Line line = lines.get(at++);
    if (line.words().size() != words) {
      throw fault(
          line,
          null,
          line.words().size() + " columns, expected " + words,
          "A file begins with the number of items and the length, or with stick lengths.");
    }
    return line;
  }

  private long number(Line line, int word, String what, long least, long most) throws Fault {
    String text = line.words().get(word);
    boolean whole =
        text.length() <= MOST_DIGITS && text.chars().allMatch(c -> c >= '0' && c <= '9');
    long number = whole ? Long.parseLong(text) : -1;
    if (number < least || number > most) {
      String shown = text.length() > 20 ? text.substring(0, 20) + "…" : text;
      throw fault(
          line, what, "\"" + shown + "\" is no whole number from " + least + " to " + most, null);
    }
    return number;
  }

  private Fault fault(Line line, @Nullable String column, String message, @Nullable String hint) {
    return new Fault(new Problem(file, line.number(), column, message, hint));
  }
}
