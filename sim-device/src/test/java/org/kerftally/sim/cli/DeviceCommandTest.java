package org.kerftally.sim.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import picocli.CommandLine;

class DeviceCommandTest {
  @TempDir Path folder;

  private final CompletableFuture<Void> stop = new CompletableFuture<>();
  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  private int run(String... arguments) {
    CommandLine line =
        Main.commandLine(stop).setOut(new PrintWriter(out)).setErr(new PrintWriter(err));
    return line.execute(arguments);
  }

  @Test
  void explainsItself() {
    assertThat(run("--help")).isZero();
    assertThat(out.toString())
        .contains("--link", "--port", "--broker", "--station", "--speed", "--seed")
        .contains("--script", "--truth", "--memory", "Exit codes:");
  }

  @Test
  void tellsItsVersion() {
    assertThat(run("--version")).isZero();
    assertThat(out.toString()).startsWith("kerftally-sim-device ");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "                                     | --link",
        "--link serial                        | serial",
        "--link opcua --broker tcp://a:1      | --broker goes with --link mqtt",
        "--link mqtt --port 1                 | --port goes with --link opcua",
        "--link opcua --port 65536            | --port must be 0 to 65535, not 65536",
        "--link mqtt --broker http://a        | --broker must be tcp://HOST:PORT",
        "--link opcua --station a/b           | --station must be letters, digits",
        "--link opcua --speed 0               | speed must be above 0 and at most 10000: 0.0",
        "--link opcua --speed fast            | fast",
        "--link opcua --reject-rate 2         | the reject rate must be 0 to 1: 2.0",
        "--link opcua --colour red            | --colour",
        "--link opcua --user a                | --user and --password-file go together",
        "--link opcua --user a --password-file p | need --secure",
        "--link opcua --ca-file x             | go with --link mqtt",
        "--link mqtt --secure x               | --secure goes with --link opcua",
        "--link mqtt --broker ssl://a --certificate-file x | --key-file go together",
      })
  void callsWrongUsageWrongUsage(String arguments, String message) {
    assertThat(run(arguments == null ? new String[0] : arguments.split(" "))).isEqualTo(2);
    assertThat(err.toString()).contains(message);
  }

  @Test
  void listsEveryWrongLineOfAScript() throws IOException {
    Path script = Files.writeString(folder.resolve("faults.csv"), "1,boom\n2,estop,3\n");
    assertThat(run("--link", "opcua", "--port", "0", "--script", script.toString())).isEqualTo(1);
    assertThat(err.toString())
        .contains("faults.csv, line 1, action: unknown action \"boom\"")
        .contains("faults.csv, line 2, value: estop takes no value, found \"3\"");
  }

  @ParameterizedTest
  @ValueSource(strings = {"--script", "--truth"})
  void namesAFileItCannotOpen(String option) {
    String nowhere = folder.resolve("no/such/file").toString();
    assertThat(run("--link", "opcua", "--port", "0", option, nowhere)).isEqualTo(1);
    assertThat(err.toString()).contains(nowhere);
  }

  @Test
  void saysThatItsPortIsTaken() throws IOException {
    try (ServerSocket taken = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      String port = Integer.toString(taken.getLocalPort());
      assertThat(run("--link", "opcua", "--port", port)).isEqualTo(1);
      assertThat(err.toString()).contains(port);
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"opcua", "mqtt"})
  void saysWhenItIsReadyAndStopsWhenTold(String link) throws Exception {
    ExecutorService runner = Executors.newSingleThreadExecutor();
    try {
      // The broker's port is one nobody serves: the device waits for it and ends all the same.
      String[] arguments =
          link.equals("opcua")
              ? new String[] {"--link", link, "--port", "0"}
              : new String[] {"--link", link, "--broker", "tcp://127.0.0.1:" + deadPort()};
      Future<Integer> code = runner.submit(() -> run(arguments));
      await()
          .atMost(90, TimeUnit.SECONDS)
          .until(() -> code.isDone() || out.toString().endsWith("\n"));
      assertThat(err.toString()).isEmpty();
      assertThat(out.toString()).startsWith("simulated device saw1 ready at ");
      assertThat(code.isDone()).isFalse();
      stop.complete(null);
      assertThat(code.get(30, TimeUnit.SECONDS)).isZero();
    } finally {
      runner.shutdownNow();
    }
  }

  private static int deadPort() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    }
  }
}
