package org.kerftally.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.catchThrowableOfType;

import java.time.Duration;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.problem.Problem;

class ScriptTest {

  @Test
  void readsActionsInOrderOfTime() {
    List<TimedAction> actions =
        Script.parse(
            """

            # faults of the morning
             20 , defect , 1210.5 \r
            10.25,estop
            20,power-cycle,8
            20,stick-loaded
            """,
            "f.csv");
    assertThat(actions)
        .containsExactly(
            new TimedAction(10_250_000_000L, Action.of(Action.Kind.ESTOP)),
            new TimedAction(
                20_000_000_000L, Action.of(Action.Kind.DEFECT, Length.ofNm(1_210_500_000))),
            new TimedAction(
                20_000_000_000L, Action.of(Action.Kind.POWER_CYCLE, Duration.ofSeconds(8))),
            new TimedAction(20_000_000_000L, Action.of(Action.Kind.STICK_LOADED)));
  }

  @ParameterizedTest
  @EnumSource(Action.Kind.class)
  void knowsEveryAction(Action.Kind kind) {
    String value = kind.value() == Action.Value.LENGTH ? ",12.5" : "";
    assertThat(Script.parse("1," + kind.word() + value, "f.csv"))
        .extracting(timed -> timed.action().kind())
        .containsExactly(kind);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "estop                  | 1 |            | expected at_seconds,action",
        "1,estop,2,3            | 1 |            | expected at_seconds,action",
        "soon,estop             | 1 | at_seconds | expected seconds such as 12.5, found \"soon\"",
        "-1,estop               | 1 | at_seconds | expected seconds",
        "1e9,estop              | 1 | at_seconds | expected seconds",
        "12345678,estop         | 1 | at_seconds | expected seconds",
        "1,explode              | 1 | action     | unknown action \"explode\"",
        "1,ESTOP                | 1 | action     | unknown action",
        "1,estop,3              | 1 | value      | estop takes no value, found \"3\"",
        "1,defect               | 1 | value      | defect takes decimal millimetres",
        "1,defect,-3            | 1 | value      | defect takes decimal millimetres",
        "1,short-stick,10 mm    | 1 | value      | short-stick takes decimal millimetres",
        "1,defect,1e100000000   | 1 | value      | defect takes decimal millimetres",
        "1,power-cycle,a while  | 1 | value      | power-cycle takes seconds",
      })
  void namesWhatIsWrongAndWhere(String line, int number, String column, String message) {
    List<Problem> problems = problems(line);
    assertThat(problems).hasSize(1);
    assertThat(problems.get(0).file()).isEqualTo("f.csv");
    assertThat(problems.get(0).line()).isEqualTo(number);
    assertThat(problems.get(0).column()).isEqualTo(column);
    assertThat(problems.get(0).message()).contains(message);
  }

  @Test
  void listsEveryWrongLineAtOnce() {
    assertThat(problems("1,estop\nx,y\n# fine\n3,defect\n"))
        .extracting(Problem::line)
        .containsExactly(2, 2, 4);
  }

  @Test
  void namesTheKnownActionsForAnUnknownOne() {
    assertThat(problems("1,boom").get(0).text())
        .startsWith("f.csv, line 1, action: unknown action \"boom\". Known: estop, estop-release,")
        .endsWith("remote-on.");
  }

  @Test
  void refusesALineWithoutEnd() {
    assertThat(problems("1,estop," + "x".repeat(100_000)).get(0).message())
        .isEqualTo("longer than 200 characters");
  }

  private static List<Problem> problems(String text) {
    return catchThrowableOfType(SimInputException.class, () -> Script.parse(text, "f.csv"))
        .problems();
  }
}
