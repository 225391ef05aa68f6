package org.kerftally.config;

import java.util.Collection;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Finds the word that somebody probably meant.
 *
 * <p>Words that differ only in case, dashes or underscores are the same. Else the fewest single
 * letters added, left out, changed or swapped with their neighbour decide, as long as they are at
 * most a third of the word. The distance is the one known as optimal string alignment.
 */
final class Suggestion {

  private static final int MAX_WORD_CHARS = 64;

  private Suggestion() {}

  /** Returns the nearest of the words, the first of equals, or {@code null} when none is near. */
  static @Nullable String nearest(String written, Collection<String> words) {
    if (written.length() > MAX_WORD_CHARS) {
      return null;
    }
    String plain = plain(written);
    String best = null;
    int bestDistance = Integer.MAX_VALUE;
    for (String word : words) {
      int distance = distance(plain, plain(word));
      int allowed = Math.max(1, Math.max(plain.length(), plain(word).length()) / 3);
      boolean allChanged = distance >= plain(word).length();
      if (distance <= allowed && !allChanged && distance < bestDistance) {
        best = word;
        bestDistance = distance;
      }
    }
    return best;
  }

  private static String plain(String word) {
    return word.toLowerCase(Locale.ROOT).replace("-", "").replace("_", "").replace(" ", "");
  }

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
        int change = a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1;
        d[i][j] = Math.min(d[i - 1][j - 1] + change, Math.min(d[i - 1][j], d[i][j - 1]) + 1);
        boolean swapped =
            i > 1
                && j > 1
                && a.charAt(i - 1) == b.charAt(j - 2)
                && a.charAt(i - 2) == b.charAt(j - 1);
        if (swapped) {
          d[i][j] = Math.min(d[i][j], d[i - 2][j - 2] + 1);
        }
      }
    }
    return d[a.length()][b.length()];
  }
}
