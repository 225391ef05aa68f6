package org.kerftally.daemon.intake.table;

import java.util.Collection;
import java.util.HashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * Finds the known name that a mistyped one is most likely to mean.
 *
 * <p>Distance is the number of letters to insert, delete, replace or swap with a neighbour, case
 * not counted; a third of the word may be wrong. What is asked for is bounded and remembered, so
 * that a file with thousands of unknown names costs little. For one thread.
 */
public final class Nearest {

  private static final int MAX_CHARS = 60;
  private static final int MAX_CANDIDATES = 2_000;
  private static final int MAX_SEARCHES = 100;

  private final Collection<String> known;
  private final Map<String, Optional<String>> found = new HashMap<>();

  /** Searches among the given names. */
  public Nearest(Collection<String> known) {
    this.known = known;
  }

  /** Returns the nearest known name, or {@code null} where none is near. */
  public @Nullable String to(String name) {
    Optional<String> before = found.get(name);
    if (before == null) {
      before = found.size() < MAX_SEARCHES ? search(name) : Optional.empty();
      if (found.size() < MAX_SEARCHES) {
        found.put(name, before);
      }
    }
    return before.orElse(null);
  }

  private Optional<String> search(String name) {
    String wanted = name.toLowerCase(Locale.ROOT);
    int best = Math.max(1, wanted.length() / 3) + 1;
    String nearest = null;
    int left = MAX_CANDIDATES;
    for (String candidate : known) {
      if (left-- == 0) {
        break;
      }
      String lower = candidate.toLowerCase(Locale.ROOT);
      boolean hopeless =
          Math.abs(lower.length() - wanted.length()) >= best
              || Math.max(lower.length(), wanted.length()) > MAX_CHARS;
      int distance = hopeless ? best : distance(wanted, lower);
      if (distance < best) {
        best = distance;
        nearest = candidate;
      }
    }
    return Optional.ofNullable(nearest);
  }

  /** Counts the edits of the optimal string alignment between two words. */
  private static int distance(String a, String b) {
    int[][] d = new int[a.length() + 1][b.length() + 1];
    for (int i = 0; i <= a.length(); i++) {
      d[i][0] = i;
    }
    for (int j = 0; j <= b.length(); j++) {
      d[0][j] = j;
    }
    for (int i = 1; i <= a.length(); i++) {
      for (int j = 1; j <= b.length(); j++) {
        int same = a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1;
        int least = Math.min(d[i - 1][j], d[i][j - 1]) + 1;
        least = Math.min(least, d[i - 1][j - 1] + same);
        if (i > 1
            && j > 1
            && a.charAt(i - 1) == b.charAt(j - 2)
            && a.charAt(i - 2) == b.charAt(j - 1)) {
          least = Math.min(least, d[i - 2][j - 2] + 1);
        }
        d[i][j] = least;
      }
    }
    return d[a.length()][b.length()];
  }
}
