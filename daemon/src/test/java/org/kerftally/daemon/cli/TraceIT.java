package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.site.Programs;
import org.kerftally.daemon.site.SiteFolder;

/**
 * Records a shift with an emergency stop and a lost link, with the programs as they are shipped,
 * and runs the record again.
 *
 * <p>The board's token stands in a part's name: whatever a secret is, and wherever somebody puts
 * it, it goes through the plan, the panel and the log, and must not be in the record.
 */
final class TraceIT {

  private static final List<String> JVM = List.of("-Xmx256m");
  private static final String TOKEN = "hive-Side-4711";

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

  private Process device(SiteFolder folder, int port, Path script) throws IOException {
    List<String> words = new ArrayList<>(List.of("--link", "opcua", "--port", "" + port));
    words.addAll(List.of("--station", "saw1", "--speed", "20"));
    words.addAll(List.of("--truth", folder.truth().toString()));
    words.addAll(List.of("--memory", folder.memory().toString(), "--script", script.toString()));
    return programs.java("device", JVM, Programs.deviceJar(), words);
  }

  /** Again and again, so that one falls into the job however late the service is up. */
  private static String emergencyStops() {
    StringBuilder script = new StringBuilder();
    for (int at = 150; at < 6_000; at += 150) {
      script.append(at).append(",estop\n").append(at + 20).append(",estop-release\n");
    }
    return script.toString();
  }

  private static List<Path> traces(Path folder) throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      return files.sorted().toList();
    }
  }

  @Test
  void aShiftWithAnEmergencyStopAndALostLinkIsRunAgainAsItWas() throws Exception {
    SiteFolder folder = new SiteFolder(temp.resolve("site"));
    int port = Programs.freePort();
    folder.configure("opcua: { endpoint: \"opc.tcp://127.0.0.1:" + port + "\" }");
    Path token = Files.writeString(temp.resolve("board.token"), TOKEN + "\n");
    String yaml = Files.readString(folder.config());
    Files.writeString(
        folder.config(), yaml.replace("board: off", "board: off\nboard-token-file: " + token));
    folder.stock();
    Path script = Files.writeString(temp.resolve("script"), emergencyStops());
    Path calm = Files.writeString(temp.resolve("calm"), "# nothing\n");
    Process saw = device(folder, port, script);
    Path record = temp.resolve("traces");
    List<String> run =
        List.of("run", "-c", folder.config().toString(), "--trace", record.toString());
    Process service = programs.java("service", JVM, Programs.daemonJar(), run);
    folder.drop("supers.csv", "part,length,qty,material", TOKEN + ",505,150,pine-19x146");
    await("the emergency stop is booked")
        .atMost(SiteFolder.PATIENCE)
        .until(
            () ->
                !folder.rows("select id from event where kind = 'fault-raised'").isEmpty()
                    && !folder.rows("select id from event where kind = 'fault-cleared'").isEmpty());
    int made = folder.made("supers");
    Programs.kill(saw);
    await("the link is lost")
        .atMost(SiteFolder.PATIENCE)
        .until(() -> !folder.rows("select id from event where kind = 'link-down'").isEmpty());
    Process unused = device(folder, port, calm);
    folder.awaitMade("supers", made + 4);
    assertThat(Programs.end(service)).as(programs.said("service")).isZero();

    List<Path> files = traces(record);
    assertThat(files).hasSize(1);
    String written = Files.readString(files.get(0));
    assertThat(written).contains("[blanked]").doesNotContain(TOKEN);

    Shell shown = Shell.run("trace", files.get(0));
    assertThat(shown.code()).as(shown.err()).isZero();
    assertThat(shown.out())
        .contains("Station saw1, recorded by Kerftally")
        .contains("->  call            MoveAbsolute")
        .contains("<-  answer          MoveAbsolute")
        .contains("<-  report          SawState")
        .contains("ev  fault-raised", "Emergency stop", "ev  link-down", "ev  cut-booked")
        .contains("!!  ended");
    Shell replayed = Shell.run("trace", "--replay", files.get(0));
    assertThat(replayed.err()).isEmpty();
    assertThat(replayed.code()).isZero();
    assertThat(replayed.out()).contains("same  snapshot", " decisions as recorded.");

    Shell configuration = Shell.run("trace", "--configuration", files.get(0));
    assertThat(configuration.out()).contains("name: saw1", "endpoint: \"opc.tcp://127.0.0.1:");
    Path again = temp.resolve("again.yaml");
    Files.writeString(again, configuration.out().replace("window: 0.1 mm", "window: 3 mm"));
    Shell byIt = Shell.run("trace", "--replay", files.get(0), "-c", again);
    assertThat(byIt.code()).as(byIt.err()).isLessThan(ExitCodes.WRONG_USAGE);
  }
}
