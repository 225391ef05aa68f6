package org.kerftally.daemon.planning.bench;

import java.math.BigDecimal;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.problem.Problem;

/**
 * Holds known optima by instance name.
 *
 * <p>The text is comma separated without quotes: either with a header that names the columns {@code
 * name}, {@code optimum} and perhaps {@code class}, others are ignored; or without one, then name
 * and optimum.
 */
public final class Optima {

  private static final int MOST_ROWS = 1_000_000;
  private static final int MOST_DIGITS = 18;

  private final Map<String, Known> byName = new HashMap<>();

  /**
   * What is known of an instance.
   *
   * @param group its class, or {@code null}
   * @param optimum its optimal cost
   */
  public record Known(@Nullable String group, BigDecimal optimum) {}

  /** Makes an empty table. */
  public Optima() {}

  /** Returns what is known of an instance, or {@code null}. */
  public @Nullable Known of(String name) {
    return byName.get(name);
  }

  /** Returns how many instances are known. */
  public int size() {
    return byName.size();
  }

  /**
   * Reads a text into the table.
   *
   * @return what is wrong with it; nothing of a wrong line is taken
   */
  public List<Problem> read(String file, String text) {
    List<String> lines = text.lines().toList();
    if (lines.isEmpty() || lines.size() > MOST_ROWS) {
      return List.of(
          new Problem(file, 0, null, "from 1 to " + MOST_ROWS + " lines expected", null));
    }
    List<String> header = List.of(lines.get(0).split(",", -1));
    boolean named = header.contains("name");
    int name = named ? header.indexOf("name") : 0;
    int optimum = named ? header.indexOf("optimum") : 1;
    int group = header.indexOf("class");
    if (optimum < 0) {
      return List.of(new Problem(file, 1, null, "there is no column \"optimum\"", null));
    }
    for (int n = named ? 1 : 0; n < lines.size(); n++) {
      String[] fields = lines.get(n).split(",", -1);
      if (lines.get(n).isBlank()) {
        continue;
      }
      String value = optimum < fields.length ? fields[optimum].strip() : "";
      if (value.length() > MOST_DIGITS || !value.matches("[0-9]+(\\.[0-9]+)?")) {
        return List.of(
            new Problem(
                file, n + 1, "optimum", "a number above 0 expected", "Check the line's columns."));
      }
      String of = group >= 0 && group < fields.length ? fields[group].strip() : null;
      byName.put(fields[name].strip(), new Known(of, new BigDecimal(value)));
    }
    return List.of();
  }
}
