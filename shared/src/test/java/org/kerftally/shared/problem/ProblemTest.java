package org.kerftally.shared.problem;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

final class ProblemTest {

  private static final String MESSAGE = "\"12,5\" has a comma";
  private static final String HINT = "write 12.5";

  @Test
  void namesFileLineAndColumnBeforeWhatIsWrong() {
    assertThat(new Problem("jobs.csv", 7, "length", MESSAGE, HINT).text())
        .isEqualTo("jobs.csv, line 7, length: \"12,5\" has a comma. write 12.5");
  }

  @Test
  void leavesOutWhatIsNotKnown() {
    assertThat(new Problem("jobs.csv", 0, null, MESSAGE, null).text())
        .isEqualTo("jobs.csv: \"12,5\" has a comma");
    assertThat(new Problem(null, 7, null, MESSAGE, null).text())
        .isEqualTo("line 7: \"12,5\" has a comma");
    assertThat(new Problem(null, 0, "stations[0].kerf", MESSAGE, null).text())
        .isEqualTo("stations[0].kerf: \"12,5\" has a comma");
    assertThat(new Problem(null, 7, "qty", MESSAGE, null).text())
        .isEqualTo("line 7, qty: \"12,5\" has a comma");
    assertThat(new Problem(null, 0, null, MESSAGE, null).text()).isEqualTo(MESSAGE);
  }

  @Test
  void putsOneFullStopBetweenMessageAndHint() {
    assertThat(new Problem(null, 0, null, "The file is empty", "Add a header.").text())
        .isEqualTo("The file is empty. Add a header.");
    assertThat(new Problem(null, 0, null, "The file is empty.", "Add a header.").text())
        .isEqualTo("The file is empty. Add a header.");
  }
}
