package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import org.kerftally.shared.problem.Problem;

/** Reads the tests' own files, and configurations that must be good or bad. */
final class TestFiles {

  static final Path EXAMPLES = Path.of("examples");
  static final List<String> SAMPLES =
      List.of(
          "smallest-opcua.yaml",
          "smallest-mqtt.yaml",
          "workshop.yaml",
          "secured-opcua.yaml",
          "secured-mqtt.yaml",
          "method-opcua.yaml",
          "feeder-strobe.yaml",
          "stop-plcopen.yaml",
          "line-message.yaml",
          "topics-sequence.yaml");

  private TestFiles() {}

  static String resource(String name) {
    try (InputStream in = TestFiles.class.getResourceAsStream(name)) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  static ConfigResult.Good good(ConfigResult result) {
    assertThat(problems(result)).isEmpty();
    return (ConfigResult.Good) result;
  }

  static ConfigResult.Good good(String yaml) {
    return good(ConfigReader.read(yaml, "site.yaml"));
  }

  /** Returns every problem's text, none when there is none. */
  static List<String> problems(ConfigResult result) {
    return result instanceof ConfigResult.Bad bad
        ? bad.problems().stream().map(Problem::text).toList()
        : List.of();
  }

  static List<String> problems(String yaml) {
    return problems(ConfigReader.read(yaml, "site.yaml"));
  }
}
