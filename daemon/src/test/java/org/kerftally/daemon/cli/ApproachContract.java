package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.daemon.cli.demo.TruthCheck;
import org.kerftally.daemon.cutlog.SiteHeldException;
import org.kerftally.daemon.site.SiteFolder;
import org.kerftally.shared.device.SawState;
import org.kerftally.sim.Button;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;

/** A whole site whose stop comes to every target from above and dwells there. */
abstract class ApproachContract {

  @TempDir Path temp;
  private SiteFolder folder;
  private SimDevice device;
  private DeviceServer server;
  private Site site;

  /** Puts a server in front of the device. */
  abstract DeviceServer serve(SimDevice simulated);

  /** Returns the link's line of YAML. */
  abstract String link(DeviceServer serving);

  @BeforeEach
  void makeFolder() throws IOException {
    folder = new SiteFolder(temp.resolve("site"));
  }

  private void open(OperatorModel operator, double speed) throws IOException, SiteHeldException {
    device =
        SimDevice.open(
            SimConfig.standard("saw1")
                .withSpeed(speed)
                .withOperator(operator)
                .withTruth(folder.truth()));
    server = serve(device);
    folder.configure(
        link(server) + "\n    in-position: { dwell: 50 ms }\n    approach: { from: above }");
    folder.stock();
    ConfigResult read = ConfigReader.read(folder.config());
    assertThat(read).isInstanceOf(ConfigResult.Good.class);
    site = Site.open(((ConfigResult.Good) read).config(), Clock.systemUTC());
  }

  @AfterEach
  void close() throws Exception {
    for (AutoCloseable part : new AutoCloseable[] {site, server, device}) {
      if (part != null) {
        part.close();
      }
    }
  }

  /** The device numbers the two moves of target n as 2n-1 and 2n. */
  private static long target(long number) {
    return (number + 1) / 2;
  }

  private Set<String> truthInTheStationsNumbers() throws IOException {
    return folder.cut().stream()
        .map(line -> line.split(",", -1))
        .map(cells -> cells[0] + "," + cells[1] + "," + target(Long.parseLong(cells[2])))
        .collect(Collectors.toCollection(TreeSet::new));
  }

  private List<Long> numbersCutAt() throws IOException {
    return Files.readAllLines(folder.truth()).stream()
        .map(line -> Long.parseLong(line.split(",", -1)[2]))
        .toList();
  }

  @Test
  void aJobIsCutOnLastMovesAloneAndLogAndTruthAgree() throws Exception {
    open(OperatorModel.STANDARD, 10);
    folder.drop(
        "supers.csv",
        "part,length,qty,material",
        "side,505,4,pine-19x146",
        "end,413,4,pine-19x146");

    await("all pieces are made and every cycle is booked")
        .atMost(SiteFolder.PATIENCE)
        .until(
            () ->
                folder.made("supers") == 8 && folder.booked().equals(truthInTheStationsNumbers()));

    assertThat(numbersCutAt()).hasSizeGreaterThan(8).allMatch(number -> number % 2 == 0);
    TruthCheck.Verdict verdict =
        TruthCheck.compare(site.log(), "saw1", folder.truth(), ApproachContract::target);
    assertThat(verdict.differences()).isEmpty();
    assertThat(folder.rows("select kind from cut_log where kind = 'suspect'")).isEmpty();
    assertThat(folder.rows("select part, made, short from job_counts"))
        .containsExactlyInAnyOrder("side,4,0", "end,4,0");
  }

  @Test
  void aCutOnTheWayToWhereTheMoveTurnsIsSuspectAndThePartIsMadeAfterIt() throws Exception {
    open(OperatorModel.ABSENT, 1);
    folder.drop("ends.csv", "part,length,qty,material", "end,413,1,pine-19x146");
    press(Button.ACKNOWLEDGE, "acknowledged");
    press(Button.STICK_LOADED, "stick-loaded");

    // A stroke in the moment in which the stop is on a first move: never at a target.
    strokeWhen(number -> number % 2 == 1);
    assertThat(numbersCutAt()).allMatch(number -> number % 2 == 1);
    assertThat(folder.rows("select kind from cut_log where count is not null"))
        .containsExactly("suspect");
    assertThat(folder.made("ends")).isZero();

    for (int i = 0; i < 5 && folder.made("ends") == 0; i++) {
      strokeWhen(number -> number % 2 == 0);
    }
    assertThat(folder.made("ends")).isOne();
    TruthCheck.Verdict verdict =
        TruthCheck.compare(site.log(), "saw1", folder.truth(), ApproachContract::target);
    assertThat(verdict.differences()).isEmpty();
  }

  /** Makes a stroke in the first moment in which the stop is on such a move, and sees it booked. */
  private void strokeWhen(java.util.function.LongPredicate number) {
    long before = device.snapshot().cutCount();
    await("the stop is on the move")
        .atMost(SiteFolder.PATIENCE)
        .pollInterval(Duration.ofMillis(1))
        .until(
            () -> {
              var now = device.snapshot();
              boolean there = now.activeSequence() % 2 == 1 || now.targetReached();
              return now.activeSequence() > 0
                  && target(now.activeSequence()) > lastBooked()
                  && number.test(now.activeSequence())
                  && there
                  && device.stroke();
            });
    await("the cycle is booked")
        .atMost(SiteFolder.PATIENCE)
        .until(
            () ->
                device.snapshot().cutCount() > before
                    && device.snapshot().sawState() == SawState.IDLE
                    && folder.booked().equals(truthInTheStationsNumbers()));
  }

  private long lastBooked() {
    List<String> rows = folder.rows("select coalesce(max(seq), 0) from cut_log");
    return rows.isEmpty() ? 0 : Long.parseLong(rows.get(0));
  }

  private void press(Button button, String event) {
    await("the site takes " + button)
        .atMost(SiteFolder.PATIENCE)
        .until(
            () -> {
              device.press(button);
              return !folder.rows("select id from event where kind = '" + event + "'").isEmpty();
            });
  }
}
