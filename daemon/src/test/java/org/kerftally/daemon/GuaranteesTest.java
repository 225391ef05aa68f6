package org.kerftally.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** Holds the guarantees to their word: every row names a test, and every test named is there. */
final class GuaranteesTest {

  private static final Pattern TEST = Pattern.compile("`(\\w+(?:Test|IT|Contract))`");
  private static final int ROWS = 25;

  private static Set<String> tests(Path module) throws IOException {
    try (Stream<Path> files = Files.walk(module.resolve("src/test/java"))) {
      return files
          .map(f -> String.valueOf(f.getFileName()))
          .filter(f -> f.endsWith(".java"))
          .map(f -> f.substring(0, f.length() - ".java".length()))
          .collect(Collectors.toSet());
    }
  }

  @Test
  void everyGuaranteeNamesATestThatIsThere() throws IOException {
    Path daemon = Path.of("").toAbsolutePath();
    Set<String> there = new TreeSet<>(tests(daemon));
    for (String module : List.of("shared", "config", "protocol")) {
      there.addAll(tests(daemon.resolveSibling(module)));
    }
    int rows = 0;
    for (String line : Files.readAllLines(daemon.resolve("docs/guarantees.md"))) {
      boolean row = line.startsWith("| ") && !line.startsWith("| ---") && line.endsWith(" |");
      if (!row || line.startsWith("| what ")) {
        continue;
      }
      rows++;
      Matcher named = TEST.matcher(line);
      boolean any = false;
      while (named.find()) {
        any = true;
        assertThat(there).as(line).contains(named.group(1));
      }
      assertThat(any || line.contains("broken on purpose") || line.contains("`Soak`"))
          .as("names a test: %s", line)
          .isTrue();
    }
    assertThat(rows).isGreaterThan(ROWS);
  }
}
