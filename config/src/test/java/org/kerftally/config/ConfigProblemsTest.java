package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.problem.Problem;

class ConfigProblemsTest {

  @TestFactory
  Stream<DynamicTest> everyProblemIsToldInFull() {
    return BrokenFile.all().stream().map(file -> dynamicTest(file.title(), () -> isTold(file)));
  }

  private static void isTold(BrokenFile file) {
    assertThat(file.problems()).as("what must be told of %s", file.yaml()).isNotEmpty();
    List<String> expected = file.problems().stream().map(text -> "site.yaml, " + text).toList();
    assertThat(TestFiles.problems(file.yaml())).as(file.yaml()).isEqualTo(expected);
  }

  @ParameterizedTest
  @ValueSource(strings = {"tr-TR", "de-DE", "ar-EG-u-nu-arab", "hi-IN-u-nu-deva"})
  void noProblemDependsOnTheLocale(String tag) {
    Locale before = Locale.getDefault();
    Locale.setDefault(Locale.forLanguageTag(tag));
    try {
      BrokenFile.all().forEach(ConfigProblemsTest::isTold);
    } finally {
      Locale.setDefault(before);
    }
  }

  @Test
  void theFileThatIsBrokenIsRightBefore() {
    assertThat(TestFiles.problems(TestFiles.resource("whole.yaml"))).isEmpty();
  }

  @Test
  void aProblemNamesFileLinePathAndMend() {
    String yaml = TestFiles.resource("whole.yaml").replace("kerf: 3.2 mm", "kerf: 3.2");

    assertThat(ConfigReader.read(yaml, "sites/north.yaml"))
        .isEqualTo(
            new ConfigResult.Bad(
                List.of(
                    new Problem(
                        "sites/north.yaml",
                        11,
                        "stations[0].kerf",
                        "found \"3.2\", expected a length with its unit",
                        "Write the unit: 3.2 mm. Example: `kerf: 3.2 mm`"))));
  }

  @Test
  void aStationThatIsSpeltWrongHidesNoOther() {
    String yaml =
        TestFiles.resource("whole.yaml")
            .replace("kerf: 3.2 mm", "kerf: 3.2")
            .replace("kerf: 2.8 mm", "kerf: 2.8")
            .replace("board: 127.0.0.1:8418", "board: here");

    assertThat(TestFiles.problems(yaml))
        .extracting(text -> text.substring(0, text.indexOf(": found")))
        .containsExactly(
            "site.yaml, line 2, board",
            "site.yaml, line 11, stations[0].kerf",
            "site.yaml, line 29, stations[1].kerf");
  }

  @Test
  void twoStationsOnOneDeviceAreRefused() {
    String station =
        """
          - name: %s
            layout: outfeed-stop
            kerf: 3 mm
            travel: { min: 0 mm, max: 1 m }
            link: { mqtt: { broker: "tcp://127.0.0.1:1883", prefix: a/ } }
        """;
    String yaml = "folder: x\nstations:\n" + station.formatted("a") + station.formatted("b");

    assertThat(TestFiles.problems(yaml))
        .containsExactly(
            "site.yaml, line 12, stations[1].link: found the same device as station a has, expected"
                + " one of its own. Two stations that send to one positioner would fight over it:"
                + " change the address");
  }
}
