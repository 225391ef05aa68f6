package org.kerftally.daemon.intake.folder;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.Locale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class FileNamesTest {

  @ParameterizedTest
  @CsvSource({
    "a.csv, 1, a.csv",
    "a.csv, 2, a (2).csv",
    "README, 3, README (3)",
    ".csv, 2, .csv (2)",
    "a.b.csv, 2, a.b (2).csv",
    "a.csv.why.txt, 1, a.csv.why (1).txt",
    "A.WHY.TXT, 1, A.WHY (1).TXT",
  })
  void aRefusedNameIsNumberedBeforeItsExtension(String name, int number, String refused) {
    assertThat(FileNames.refused(name, number)).isEqualTo(refused);
  }

  @Test
  void aRefusedNameLeavesRoomForItsReasons() {
    for (String name :
        new String[] {
          "x".repeat(251) + ".csv",
          "ü".repeat(125) + ".csv",
          "a." + "x".repeat(253),
          "\uD83D\uDC1D".repeat(62) + ".csv"
        }) {
      for (int number : new int[] {1, 2, 1000}) {
        String refused = FileNames.refused(name, number);
        int bytes = ("." + refused + ".why.txt.tmp").getBytes(StandardCharsets.UTF_8).length;
        assertThat(bytes).isLessThanOrEqualTo(FileNames.MAX_NAME_BYTES);
        assertThat(refused).isNotEmpty().doesNotContain("?");
      }
    }
  }

  @Test
  void extensionsAreKnownInEveryLocale() {
    Locale before = Locale.getDefault();
    try {
      Locale.setDefault(Locale.forLanguageTag("tr-TR"));
      assertThat(FileNames.isPassedOver("A.FILEPART")).isTrue();
      assertThat(FileNames.isJobFile("A.JSON")).isTrue();
    } finally {
      Locale.setDefault(before);
    }
  }
}
