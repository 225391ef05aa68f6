package org.kerftally.config;

import java.util.List;
import java.util.Locale;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** Knows the keys by which people would put a secret itself into the file, and what to do. */
final class SecretKeys {

  private static final Pattern SECRET =
      Pattern.compile("(?i).*(pass(word|wd|phrase)?|secret|token|credential).*");

  private SecretKeys() {}

  /**
   * Returns where a secret belongs that an unknown key would hold, {@code null} for another key.
   */
  static @Nullable String mendOf(String name, List<String> known) {
    if (!SECRET.matcher(name).matches() || name.matches(".*(-file|-env).*")) {
      return null;
    }
    for (String kept : List.of("key-password", "password", "board-token")) {
      if (known.contains(kept + "-file") && (kept.equals(name) || !kept.startsWith("key"))) {
        return neverHere(kept);
      }
    }
    return null;
  }

  private static String neverHere(String kept) {
    String what = kept.endsWith("password") ? "A password" : "A token";
    String file =
        kept.equals("board-token")
            ? "board.token"
            : kept.equals("password") ? "mqtt.password" : "kerftally.key.password";
    String variable = kept.replace('-', '_').toUpperCase(Locale.ROOT);
    return String.format(
        "%s never stands in this file: write `%s-file: %s` or `%s-env: KERFTALLY_%s`",
        what, kept, file, kept, variable);
  }
}
