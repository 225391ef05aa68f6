package org.kerftally.daemon.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Machine, operator and protocols of the devices do what the devices are trusted for. */
final class PeerModulesIT {

  private static final long TIMEOUT_SECONDS = 120;

  @TempDir private Path folder;

  @Test
  void theirOwnTestsPass() throws IOException, InterruptedException {
    Node.require();
    List<String> command = new ArrayList<>(List.of(Node.PROGRAM, "--test"));
    try (Stream<Path> tests = Files.list(Node.FOLDER.resolve("test"))) {
      tests.map(Path::toString).filter(t -> t.endsWith(".test.js")).sorted().forEach(command::add);
    }
    Path said = folder.resolve("said.txt");
    Process process =
        new ProcessBuilder(command).redirectErrorStream(true).redirectOutput(said.toFile()).start();
    boolean ended = process.waitFor(TIMEOUT_SECONDS, TimeUnit.SECONDS);
    process.destroyForcibly();

    assertThat(command).as("files of tests").hasSizeGreaterThan(3);
    assertThat(ended).isTrue();
    assertThat(process.exitValue()).as(Files.readString(said)).isZero();
  }

  @ParameterizedTest
  @CsvSource({
    "v20.20.2, true",
    "v20.19.0, true",
    "v20.18.3, false",
    "v18.20.4, false",
    "v22.23.3, true",
    "v100.0.0, true",
    "20.20.2, false"
  })
  void anOldNodeIsToldFromOneThatWillDo(String version, boolean enough) {
    assertThat(Node.isEnough(version)).isEqualTo(enough);
  }
}
