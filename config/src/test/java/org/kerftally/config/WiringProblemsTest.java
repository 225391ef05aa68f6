package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

class WiringProblemsTest {

  @TestFactory
  Stream<DynamicTest> everyProblemOfAWiringIsToldInFull() {
    return BrokenFile.ofWiring().stream()
        .map(file -> dynamicTest(file.title(), () -> isTold(file)));
  }

  private static void isTold(BrokenFile file) {
    assertThat(file.problems()).as("what must be told of %s", file.yaml()).isNotEmpty();
    List<String> expected = file.problems().stream().map(text -> "site.yaml, " + text).toList();
    assertThat(TestFiles.problems(file.yaml())).as(file.yaml()).isEqualTo(expected);
  }

  @Test
  void theWiringsThatAreBrokenAreRightBefore() {
    assertThat(TestFiles.problems(TestFiles.resource("wired.yaml"))).isEmpty();
  }

  @Test
  void twoStationsMayBeTwoAxesOfOneController() {
    String yaml = twoOnOne("Machine/Axis2/");

    assertThat(TestFiles.problems(yaml)).isEmpty();
  }

  @Test
  void twoStationsThatWriteToOneAxisAreRefused() {
    assertThat(TestFiles.problems(twoOnOne("Machine/Axis/")))
        .containsExactly(
            "site.yaml, line 32, stations[1].link: found the same device as station saw1 has,"
                + " expected one of its own. Two stations that send to one positioner would fight"
                + " over it: change the address");
  }

  /** The first station twice, the second of them with another place for its axis. */
  private static String twoOnOne(String axis) {
    List<String> lines = TestFiles.resource("wired.yaml").lines().toList();
    String head = String.join("\n", lines.subList(0, 2)) + "\n";
    String first = String.join("\n", lines.subList(2, 25)) + "\n";
    String second = first.replace("saw1", "saw3").replace("Machine/Axis/", axis);
    return head + first + second;
  }
}
