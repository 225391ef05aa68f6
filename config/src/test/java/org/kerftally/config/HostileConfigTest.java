package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A configuration may come from anywhere: no text may hang the reader, fill memory or throw. */
@Timeout(value = 120, unit = TimeUnit.SECONDS)
class HostileConfigTest {

  @TempDir Path folder;

  @Test
  void aFileThatIsTooLongIsNotRead() throws IOException {
    Path file = folder.resolve("site.yaml");
    Files.writeString(file, "#".repeat(ConfigReader.MAX_BYTES + 1));

    assertThat(TestFiles.problems(ConfigReader.read(file)))
        .containsExactly(
            file + ": found more than 1 MiB, expected less. Is this the configuration at all?");
    assertThat(TestFiles.problems("#".repeat(ConfigReader.MAX_BYTES + 1)))
        .containsExactly(
            "site.yaml: found more than 1 MiB, expected less. Is this the configuration at all?");
  }

  @Test
  void aFileOfTheGreatestSizeIsRead() throws IOException {
    Path file = folder.resolve("site.yaml");
    String text = TestFiles.resource("whole.yaml");
    Files.writeString(file, text + "#".repeat(ConfigReader.MAX_BYTES - text.length()));

    TestFiles.good(ConfigReader.read(file));
  }

  /** YAML 1.1 counts them as ends of lines, and every line number behind would be wrong. */
  @Test
  void anEndOfLineThatNoEditorShowsIsNamedInTheEditorsLine() {
    assertThat(TestFiles.problems("folder: site\nboard: \u0085off\nstations: ["))
        .containsExactly(
            "site.yaml, line 2: found the character 85 hex, expected text. Delete it: it is an end of"
                + " line that no editor shows");
  }

  @Test
  void aliasesOfAliasesAreRefused() {
    StringBuilder bomb = new StringBuilder("a0: &a0 [x, x]\n");
    for (int i = 1; i < 12; i++) {
      String times = ("*a" + (i - 1) + ", ").repeat(10);
      bomb.append("a").append(i).append(": &a").append(i).append(" [").append(times).append("x]\n");
    }

    assertThat(TestFiles.problems(bomb.toString()))
        .containsExactly(
            "site.yaml, line 12: found more than 100 aliases. No configuration needs so many");
  }

  @Test
  void fewAliasesThatMultiplyAreNeverWalked() {
    StringBuilder bomb = new StringBuilder("stations: &a0 [x, x]\n");
    for (int i = 1; i < 14; i++) {
      String times = ("*a" + (i - 1) + ", ").repeat(7);
      bomb.append("a").append(i).append(": &a").append(i).append(" [").append(times).append("]\n");
    }

    assertThat(TestFiles.problems(bomb.toString())).hasSize(16);
  }

  @Test
  void anAliasWithinItselfEnds() {
    assertThat(TestFiles.problems("folder: x\nstations: &s [*s, { link: *s }]\n"))
        .first()
        .asString()
        .startsWith("site.yaml, line 2, stations[0]: found a list, expected keys.");
    assertThat(TestFiles.problems("&r { folder: *r, stations: [*r] }\n")).isNotEmpty();
    assertThat(TestFiles.problems("&r { *r : x }\n")).isNotEmpty();
  }

  @Test
  void deepNestingIsRefused() {
    List<String> openings = List.of("[", "{a: ", "- ", "? ", "- - {a: [");
    for (String opening : openings) {
      String text = opening.repeat(ConfigReader.MAX_BYTES / opening.length());
      assertThat(TestFiles.problems(text)).as(opening).hasSize(1);
    }
    assertThat(TestFiles.problems("[".repeat(17)))
        .containsExactly(
            "site.yaml, line 1: found more than 16 levels of nesting."
                + " No configuration needs so many");
  }

  @Test
  void manyValuesAreRefused() {
    assertThat(TestFiles.problems("- x\n".repeat(60_000)))
        .singleElement()
        .asString()
        .endsWith("found more than 50000 values. No configuration needs so many");
    assertThat(TestFiles.problems("---\n".repeat(60_000))).hasSize(1);
  }

  @Test
  void manyProblemsAreCounted() {
    StringBuilder text = new StringBuilder("folder: x\n");
    for (int i = 0; i < 5_000; i++) {
      text.append("colour").append(i).append(": red\n");
    }

    List<String> problems = TestFiles.problems(text.toString());

    assertThat(problems).hasSize(101);
    assertThat(problems.get(100))
        .isEqualTo("site.yaml: 4901 more problems are not listed. Mend these, then read again");
  }

  @Test
  void longKeysAndValuesAreCutWhereTheyAreShown() {
    String key = "k".repeat(1_000);
    String text = "folder: x\n\"" + key + "\": 1\nboard: " + "b".repeat(500_000) + "\n";

    assertThat(TestFiles.problems(text)).hasSize(3).allMatch(problem -> problem.length() < 400);
  }

  @Test
  void whatSteersATerminalIsShownAsAnEscape() {
    String text = "board: \"\\e[31m\\u202Etxet\\a\"\nfolder: \"a\\nb\"\n\"\\e[2J\": 1\n";

    assertThat(TestFiles.problems(text)).hasSize(4).noneMatch(HostileConfigTest::hasHidden);
  }

  @Test
  void aCharacterThatTheParserDidNotExpectIsShownAsAnEscape() {
    assertThat(TestFiles.problems("folder: x\nboard: *\nstations: []\n"))
        .singleElement()
        .satisfies(problem -> assertThat(problem).startsWith("site.yaml, line 2: "))
        .satisfies(problem -> assertThat(problem).contains("unexpected character found \\u000a"))
        .satisfies(problem -> assertThat(hasHidden(problem)).isFalse());
  }

  @Test
  void tagsBuildNothing() {
    String text = "folder: !!java.net.URL [\"x\"]\n";

    assertThat(TestFiles.problems(text))
        .containsExactly(
            "site.yaml, line 1: found a tag (the word behind !), expected a value without one."
                + " Delete the tag");
  }

  @Test
  void charactersThatAreNoTextAreNamedByTheirLine() {
    assertThat(TestFiles.problems("folder: x\nboard: \u0000\n"))
        .containsExactly(
            "site.yaml, line 2: found the character 0 hex, expected text."
                + " Save the file as plain text in UTF-8");
    assertThat(TestFiles.problems("folder: x\nboard: \uD800\n")).hasSize(1);
  }

  /** Changes, drops and doubles characters of a right file at random; replay with the seed. */
  @Test
  void noMangledFileThrows() {
    String whole = TestFiles.resource("whole.yaml");
    String marks = "{}[]:,-?*&!|>'\"%@`#~ \n\t0\\";
    for (long seed = 0; seed < 1_500; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      StringBuilder text = new StringBuilder(whole);
      for (int change = random.nextInt(1, 6); change > 0; change--) {
        int at = random.nextInt(text.length());
        char mark = marks.charAt(random.nextInt(marks.length()));
        switch (random.nextInt(3)) {
          case 0 -> text.setCharAt(at, mark);
          case 1 -> text.insert(at, mark);
          default -> text.delete(at, Math.min(text.length(), at + random.nextInt(1, 30)));
        }
      }
      try {
        ConfigResult result = ConfigReader.read(text.toString(), "site.yaml");
        assertThat(result instanceof ConfigResult.Bad || isRightByItself(result)).isTrue();
      } catch (RuntimeException e) {
        throw new AssertionError("seed " + seed + " throws for:\n" + text, e);
      }
    }
  }

  private static boolean isRightByItself(ConfigResult result) {
    ConfigResult.Good good = (ConfigResult.Good) result;
    return TestFiles.good(good.effectiveYaml()).config().equals(good.config());
  }

  private static boolean hasHidden(String problem) {
    return problem.chars().anyMatch(c -> Found.isHidden((char) c));
  }
}
