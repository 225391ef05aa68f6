package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.File;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.site.SiteFolder;

/** Service and device as two processes, as they are shipped; the service is killed in mid-job. */
final class TwoProcessIT {

  private static final Path DAEMON = Path.of("target", "kerftally.jar");
  private static final Path DEVICE =
      Path.of("..", "sim-device", "target", "kerftally-sim-device.jar");
  private static final String JAVA =
      Path.of(System.getProperty("java.home"), "bin", "java").toString();

  @TempDir Path temp;
  private final List<Process> started = new ArrayList<>();

  private Process java(String name, Path jar, String... arguments) throws IOException {
    List<String> command = new ArrayList<>(List.of(JAVA, "-Xmx256m", "-jar", jar.toString()));
    command.addAll(List.of(arguments));
    File log = temp.resolve(name + ".log").toFile();
    Process process =
        new ProcessBuilder(command)
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.appendTo(log))
            .start();
    started.add(process);
    return process;
  }

  @AfterEach
  void endWhatWasStarted() throws InterruptedException {
    for (Process process : started) {
      process.destroyForcibly();
      process.waitFor(30, TimeUnit.SECONDS);
    }
  }

  private static int freePort() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    }
  }

  @Test
  void aServiceKilledInMidJobGoesOnAndLogAndTruthAgree() throws Exception {
    SiteFolder folder = new SiteFolder(temp.resolve("site"));
    int port = freePort();
    folder.configure("opcua: { endpoint: \"opc.tcp://127.0.0.1:" + port + "\" }");
    folder.stock();
    String[] device = {
      "--link",
      "opcua",
      "--port",
      "" + port,
      "--station",
      "saw1",
      "--speed",
      "50",
      "--truth",
      folder.truth().toString(),
      "--memory",
      folder.memory().toString()
    };
    java("device", DEVICE, device);
    String[] run = {"run", "-c", folder.config().toString()};
    Process service = java("service", DAEMON, run);
    folder.drop(
        "supers.csv",
        "part,length,qty,material",
        "side,505,12,pine-19x146",
        "end,413,12,pine-19x146");

    for (int pieces : new int[] {3, 9, 16}) {
      folder.awaitMade("supers", pieces);
      service.destroyForcibly().waitFor(30, TimeUnit.SECONDS);
      service = java("service", DAEMON, run);
    }
    await("all pieces are made and every cycle is booked")
        .atMost(SiteFolder.PATIENCE)
        .until(() -> folder.made("supers") == 24 && folder.booked().equals(folder.cut()));

    service.destroy();
    assertThat(service.waitFor(60, TimeUnit.SECONDS)).as("SIGTERM ends it").isTrue();
    assertThat(service.exitValue()).as(Files.readString(temp.resolve("service.log"))).isZero();
  }

  @Test
  void aSecondServiceOnTheFolderExitsWith75AndABadConfigurationWith78() throws Exception {
    SiteFolder folder = new SiteFolder(temp.resolve("site"));
    folder.configure("opcua: { endpoint: \"opc.tcp://127.0.0.1:" + freePort() + "\" }");
    folder.stock();
    String[] run = {"run", "-c", folder.config().toString()};
    java("first", DAEMON, run);
    await("the first is ready")
        .atMost(SiteFolder.PATIENCE)
        .until(() -> Files.readString(temp.resolve("first.log")).contains("ready"));
    Process second = java("second", DAEMON, run);
    assertThat(second.waitFor(60, TimeUnit.SECONDS)).isTrue();
    assertThat(second.exitValue()).isEqualTo(ExitCodes.FOLDER_HELD);

    Path bad = temp.resolve("bad.yaml");
    Files.writeString(bad, "folder: .\nstations:\n  - name: saw1\n    kerff: 3\n");
    Process third = java("third", DAEMON, "run", "-c", bad.toString());
    assertThat(third.waitFor(60, TimeUnit.SECONDS)).isTrue();
    assertThat(third.exitValue()).isEqualTo(ExitCodes.BAD_CONFIG);
    assertThat(Files.readString(temp.resolve("third.log"))).contains("kerff");
  }
}
