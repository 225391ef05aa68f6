package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class SamplesTest {

  static List<String> samples() {
    return TestFiles.SAMPLES;
  }

  @ParameterizedTest
  @MethodSource("samples")
  void aSampleIsReadWithoutProblems(String name) {
    TestFiles.good(ConfigReader.read(TestFiles.EXAMPLES.resolve(name)));
  }

  @Test
  void everySampleIsTested() throws IOException {
    try (Stream<String> names =
        Files.list(TestFiles.EXAMPLES).map(file -> file.getFileName().toString())) {
      assertThat(names).containsExactlyInAnyOrderElementsOf(TestFiles.SAMPLES);
    }
  }

  @Test
  void theWorkshopShowsEveryKeyButTheOtherPlaceOfThePassword() throws IOException {
    String text = Files.readString(TestFiles.EXAMPLES.resolve("workshop.yaml"));
    Stream.of(
            Keys.SITE,
            Keys.INTAKE,
            Keys.PLANNING,
            Keys.MATERIAL,
            Keys.STATION,
            Keys.TRAVEL,
            Keys.CALIBRATION,
            Keys.CORRECTION,
            Keys.IN_POSITION,
            Keys.APPROACH,
            Keys.OPERATOR,
            Keys.LINK,
            Keys.OPCUA,
            Keys.MQTT)
        .flatMap(List::stream)
        .forEach(key -> assertThat(text).contains(key + ":"));
  }
}
