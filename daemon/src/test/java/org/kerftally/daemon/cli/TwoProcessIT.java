package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.site.Programs;
import org.kerftally.daemon.site.SiteFolder;

/** Service and device as two processes, as they are shipped; the service is killed in mid-job. */
final class TwoProcessIT {

  private static final List<String> JVM = List.of("-Xmx256m");

  @TempDir Path temp;
  private Programs programs;

  @BeforeEach
  void openPrograms() throws IOException {
    programs = new Programs(temp);
  }

  @AfterEach
  void endWhatWasStarted() throws InterruptedException {
    programs.close();
  }

  private Process run(String name, Path config) throws IOException {
    return programs.java(name, JVM, Programs.daemonJar(), List.of("run", "-c", config.toString()));
  }

  @Test
  void aServiceKilledInMidJobGoesOnAndLogAndTruthAgree() throws Exception {
    SiteFolder folder = new SiteFolder(temp.resolve("site"));
    int port = Programs.freePort();
    folder.configure("opcua: { endpoint: \"opc.tcp://127.0.0.1:" + port + "\" }");
    folder.stock();
    List<String> device =
        List.of(
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
            folder.memory().toString());
    programs.java("device", JVM, Programs.deviceJar(), device);
    Process service = run("service", folder.config());
    folder.drop(
        "supers.csv",
        "part,length,qty,material",
        "side,505,12,pine-19x146",
        "end,413,12,pine-19x146");

    for (int pieces : new int[] {3, 9, 16}) {
      folder.awaitMade("supers", pieces);
      Programs.kill(service);
      service = run("service", folder.config());
    }
    await("all pieces are made and every cycle is booked")
        .atMost(SiteFolder.PATIENCE)
        .until(() -> folder.made("supers") == 24 && folder.booked().equals(folder.cut()));

    assertThat(Programs.end(service)).as(programs.said("service")).isZero();
  }

  @Test
  void aSecondServiceOnTheFolderExitsWith75AndABadConfigurationWith78() throws Exception {
    SiteFolder folder = new SiteFolder(temp.resolve("site"));
    folder.configure("opcua: { endpoint: \"opc.tcp://127.0.0.1:" + Programs.freePort() + "\" }");
    folder.stock();
    run("first", folder.config());
    await("the first is ready")
        .atMost(SiteFolder.PATIENCE)
        .until(() -> programs.said("first").contains("ready"));
    Process second = run("second", folder.config());
    assertThat(second.waitFor(60, TimeUnit.SECONDS)).isTrue();
    assertThat(second.exitValue()).isEqualTo(ExitCodes.FOLDER_HELD);

    Path bad = temp.resolve("bad.yaml");
    Files.writeString(bad, "folder: .\nstations:\n  - name: saw1\n    kerff: 3\n");
    Process third = run("third", bad);
    assertThat(third.waitFor(60, TimeUnit.SECONDS)).isTrue();
    assertThat(third.exitValue()).isEqualTo(ExitCodes.BAD_CONFIG);
    assertThat(programs.said("third")).contains("kerff");
  }
}
