package org.kerftally.sim.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeFalse;

import java.io.BufferedReader;
import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Runs the program as a process of its own, for what only a process can show. */
@Timeout(value = 3, unit = TimeUnit.MINUTES)
class MainTest {
  @TempDir Path folder;

  /** Port 9 (discard) is one nobody serves here: the device is ready and waits for its broker. */
  private static final List<String> WAITING =
      List.of("--link", "mqtt", "--broker", "tcp://127.0.0.1:9");

  private Process start(List<String> arguments) throws IOException {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.addAll(List.of("-Xmx128m", "-cp", System.getProperty("java.class.path")));
    command.add(Main.class.getName());
    command.addAll(arguments);
    return new ProcessBuilder(command).redirectError(folder.resolve("err").toFile()).start();
  }

  @Test
  void endsCleanlyOnASignal() throws Exception {
    assumeFalse(File.separatorChar == '\\', "needs POSIX signals");
    Process process = start(WAITING);
    try (BufferedReader out = process.inputReader()) {
      assertThat(out.readLine())
          .isEqualTo("simulated device saw1 ready at tcp://127.0.0.1:9 kerftally/v1/saw1/");
      // Not Process.destroy(): it would close the pipe this test still reads.
      process.toHandle().destroy();
      assertThat(process.waitFor(60, TimeUnit.SECONDS)).isTrue();
      assertThat(process.exitValue()).isZero();
      assertThat(out.readLine()).isNull();
    } finally {
      process.destroyForcibly();
    }
  }

  @Test
  void exitsWithTheCodeOfTheContract() throws Exception {
    Process process = start(List.of("--link", "serial"));
    try {
      assertThat(process.waitFor(60, TimeUnit.SECONDS)).isTrue();
      assertThat(process.exitValue()).isEqualTo(2);
      assertThat(Files.readString(folder.resolve("err"))).contains("serial");
    } finally {
      process.destroyForcibly();
    }
  }
}
