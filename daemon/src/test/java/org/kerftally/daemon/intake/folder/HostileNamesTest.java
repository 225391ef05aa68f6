package org.kerftally.daemon.intake.folder;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.daemon.intake.JobIds;

/** Whatever a job file is called, nothing is written but in the site's own folders. */
class HostileNamesTest {

  @TempDir private Path temp;

  /** Names a file system may hold, or a share may pass on. */
  static List<String> names() {
    return List.of(
        "..\\..\\x.csv",
        "%2e%2e%2fx.csv",
        "..csv",
        "...csv",
        "....csv",
        "..%5c.json",
        "\uFF0E\uFF0E\uFF0Fx.csv",
        "\u2024\u2024\u2215x.csv",
        "a\u2044b.csv",
        "a\u29F8b.csv",
        "a\uFF3Cb.csv",
        "con.csv",
        "CON.json",
        "aux.x.csv",
        "com1.csv",
        "LPT9.csv",
        "COM\u00B9.csv",
        "nul .csv",
        "a\nb.csv",
        "a\u001B[2Jb.csv",
        "a\u202Evsc.csv",
        "a\u200B.csv",
        "-rf.csv",
        "=cmd|'.csv",
        "<script>x<&>.csv",
        "a'; drop table event; --.csv",
        "c:x.csv",
        "x.csv:stream.csv",
        "$(id).csv",
        "x".repeat(251) + ".csv",
        "\u00E9".repeat(125) + ".csv",
        " .csv",
        ". .csv");
  }

  @ParameterizedTest
  @MethodSource("names")
  void aGoodFileIsTakenWithinTheSite(String name) throws IOException {
    isKeptInside(name, Site.SIDES);
  }

  @ParameterizedTest
  @MethodSource("names")
  void aBadFileIsRefusedWithinTheSite(String name) throws IOException {
    isKeptInside(name, Site.BAD);
  }

  @Test
  void aJobCalledLikeAPathIsNamedByItsFile() throws IOException {
    for (String job : List.of("../../x", "/etc/x", "..\\x", "\uFF0E\uFF0E\uFF0Fx", "a\u2028b")) {
      isKeptInside("plain.csv", "# job: " + job + "\n" + Site.SIDES);
    }
  }

  @ParameterizedTest
  @MethodSource("names")
  @ValueSource(strings = {"../x.csv", "/etc/passwd.csv", "a/../../b.json", "..", "/", "\u0000.csv"})
  void anIdIsOneNameThatEverySystemTakes(String name) {
    String id = JobIds.slug(name);

    assertThat(id).matches("[\\p{L}\\p{N}\\p{M}][\\p{L}\\p{N}\\p{M}-]*");
    assertThat(Path.of(id).getNameCount()).isEqualTo(1);
    assertThat(id.toLowerCase(Locale.ROOT)).doesNotMatch("(con|prn|aux|nul|(com|lpt)[0-9])");
  }

  private void isKeptInside(String name, String content) throws IOException {
    Path sentinel = Files.writeString(temp.resolve("x.csv"), "the office's own");
    Path folder = Files.createDirectories(temp.resolve("deep/site"));
    Site site = new Site(folder);
    try {
      site.drop(name, content);
    } catch (InvalidPathException | java.io.UncheckedIOException e) {
      return; // This file system cannot hold such a name, so no file can have it.
    }
    site.watch(Duration.ofSeconds(15));

    assertThat(sentinel).hasContent("the office's own");
    try (Stream<Path> all = Files.walk(temp)) {
      assertThat(all.filter(Files::isRegularFile))
          .allMatch(
              file ->
                  file.equals(sentinel)
                      || List.of("inbox", "taken", "refused")
                          .contains(folder.relativize(file).getName(0).toString()))
          .allMatch(file -> file.equals(sentinel) || folder.relativize(file).getNameCount() == 2);
    }
    for (String kept : site.names("taken")) {
      assertThat(kept).matches("[\\p{L}\\p{N}\\p{M}-]+(\\.[0-9]+)?\\.(csv|json)");
    }
  }
}
