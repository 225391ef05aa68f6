package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.daemon.cli.demo.TruthCheck;
import org.kerftally.daemon.site.SiteFolder;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;

/** A whole site whose stop leaves every piece free and parks when the job is done. */
final class StopMovesIT {

  private static final double BY_MM = 5;
  private static final double WINDOW_MM = 0.1;
  private static final double PARK_MM = 1200;

  @TempDir Path temp;
  private SimDevice device;
  private OpcUaDeviceServer server;
  private Site site;

  /** Is a row of target_log. */
  private record Row(long seq, String purpose, double positionMm) {

    static Row of(String line) {
      String[] cells = line.split(",", -1);
      return new Row(Long.parseLong(cells[0]), cells[1], Double.parseDouble(cells[2]));
    }
  }

  @AfterEach
  void close() throws Exception {
    for (AutoCloseable part : new AutoCloseable[] {site, server, device}) {
      if (part != null) {
        part.close();
      }
    }
  }

  @Test
  void everyPieceIsLeftFreeTheJobIsMadeAndTheStopParksOnceAtTheEnd() throws Exception {
    SiteFolder folder = new SiteFolder(temp.resolve("site"));
    Path moves = temp.resolve("moves.csv");
    device =
        SimDevice.open(
            SimConfig.standard("saw1").withSpeed(20).withTruth(folder.truth()).withMoves(moves));
    server = new OpcUaDeviceServer(device, 0);
    folder.configure(
        "opcua: { endpoint: \""
            + server.address()
            + "\" }\n    retract: { by: 5 mm, hold: 200 ms }"
            + "\n    park: { at: 1200 mm, after: 2 s }");
    folder.stock();
    ConfigResult read = ConfigReader.read(folder.config());
    assertThat(read).isInstanceOf(ConfigResult.Good.class);
    site = Site.open(((ConfigResult.Good) read).config(), Clock.systemUTC());
    folder.drop(
        "supers.csv",
        "part,length,qty,material",
        "side,505,3,pine-19x146",
        "end,413,3,pine-19x146",
        "bar,409,1,pine-19x146");

    await("all is made and the stop is parked")
        .atMost(SiteFolder.PATIENCE)
        .until(
            () ->
                folder.made("supers") == 7
                    && !folder
                        .rows("select seq from target where purpose = 'park' and done_at not null")
                        .isEmpty());

    List<Row> targets =
        folder.rows("select seq, purpose, position_mm from target_log order by seq").stream()
            .map(Row::of)
            .toList();
    Map<Long, String> cuts =
        folder.rows("select seq, kind from cut_log where count is not null").stream()
            .map(line -> line.split(",", -1))
            .collect(Collectors.toMap(cells -> Long.parseLong(cells[0]), cells -> cells[1]));
    assertThat(cuts.values()).doesNotContain("suspect", "unattributed");
    assertThat(TruthCheck.compare(site.log(), "saw1", folder.truth()).differences()).isEmpty();
    assertThat(moved(moves)).isEqualTo(targets.stream().map(StopMovesIT::asMoved).toList());
    int retracts = 0;
    for (int i = 0; i < targets.size() - 1; i++) {
      Row row = targets.get(i);
      Row next = targets.get(i + 1);
      if (cuts.containsKey(row.seq()) && next.purpose().equals("retract")) {
        assertThat(next.positionMm()).isCloseTo(row.positionMm() + BY_MM, within(WINDOW_MM));
        retracts++;
      } else if (cuts.containsKey(row.seq())) {
        assertThat(next.purpose()).as("after %s", row).isEqualTo("cut");
        assertThat(next.positionMm()).isGreaterThan(row.positionMm() + BY_MM - WINDOW_MM);
      } else {
        assertThat(row.purpose()).as("nothing is cut at %s", row).isNotEqualTo("cut");
      }
    }
    assertThat(retracts).isGreaterThanOrEqualTo(5);
    Row last = targets.get(targets.size() - 1);
    assertThat(last.purpose()).isEqualTo("park");
    assertThat(last.positionMm()).isEqualTo(PARK_MM);
    assertThat(targets).filteredOn(row -> row.purpose().equals("park")).hasSize(1);
  }

  /** The moves that the device began, as number and position. */
  private static List<String> moved(Path moves) throws IOException {
    return Files.readAllLines(moves).stream()
        .map(line -> line.split(",", -1))
        .filter(cells -> cells[1].equals("move"))
        .map(cells -> cells[2] + " " + Double.parseDouble(cells[3]))
        .toList();
  }

  private static String asMoved(Row row) {
    return row.seq() + " " + row.positionMm();
  }
}
