package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.daemon.cli.demo.TruthCheck;
import org.kerftally.daemon.cutlog.SiteHeldException;
import org.kerftally.daemon.site.SiteFolder;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;

/**
 * What a whole site does, over whichever protocol: files in, pieces out, log equal to truth.
 *
 * <p>Everything is real but the saw: folder, planner, SQLite, link, and the device's own server.
 */
abstract class SiteContract {

  private static final String[] SUPERS = {
    "# job: Comb honey supers",
    "part,length,qty,material",
    "super side,505,8,pine-19x146",
    "super end,413,8,pine-19x146"
  };

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
  void open() throws IOException, SiteHeldException {
    folder = new SiteFolder(temp.resolve("site"));
    SimConfig config =
        SimConfig.standard("saw1")
            .withSpeed(100)
            .withTruth(folder.truth())
            .withMemory(folder.memory());
    device = SimDevice.open(config);
    server = serve(device);
    folder.configure(link(server));
    folder.stock();
    start();
  }

  private void start() throws IOException, SiteHeldException {
    ConfigResult read = ConfigReader.read(folder.config());
    assertThat(read).isInstanceOf(ConfigResult.Good.class);
    site = Site.open(((ConfigResult.Good) read).config(), Clock.systemUTC());
  }

  @AfterEach
  void close() throws Exception {
    if (site != null) {
      site.close();
    }
    if (server != null) {
      server.close();
    }
    if (device != null) {
      device.close();
    }
  }

  private void awaitAgreement() throws IOException {
    await("every cycle is booked")
        .atMost(SiteFolder.PATIENCE)
        .until(() -> folder.booked().size() == folder.cut().size());
    TruthCheck.Verdict verdict = TruthCheck.compare(site.log(), "saw1", folder.truth());
    assertThat(verdict.differences()).isEmpty();
    assertThat(verdict.cycles()).isPositive();
  }

  /** A piece may be rejected even after the last one: the job goes on until all are good. */
  private void awaitMadeInFull(String job, int pieces) {
    await(job + " is made in full")
        .atMost(SiteFolder.PATIENCE)
        .until(() -> folder.made(job) == pieces);
  }

  private void awaitEnded(String job) {
    await(job + " ends")
        .atMost(SiteFolder.PATIENCE)
        .until(
            () ->
                !folder
                    .rows(
                        "select id from event where kind = 'job-ended' and body like '%"
                            + job
                            + "%'")
                    .isEmpty());
  }

  @Test
  void aDroppedJobIsMadeAndTheLogEqualsTheTruth() throws IOException {
    folder.drop("comb-honey-supers.csv", SUPERS);
    awaitEnded("comb-honey-supers");

    awaitMadeInFull("comb-honey-supers", 16);
    assertThat(folder.rows("select part, wanted, made, short from job_counts"))
        .containsExactlyInAnyOrder("super side,8,8,0", "super end,8,8,0");
    awaitAgreement();
    assertThat(folder.folder.resolve("taken/comb-honey-supers.csv")).exists();
  }

  @Test
  void aFileDroppedMeanwhileIsCutNextAndABadOneIsRefusedWithAllItsProblems() throws IOException {
    folder.drop("comb-honey-supers.csv", SUPERS);
    folder.awaitMade("comb-honey-supers", 2);
    folder.drop("stands.csv", "part,length,qty,material", "leg,370,4,pine-19x146");
    folder.drop(
        "wrong.csv",
        "part,length,qty,material",
        "leg,-5,4,pine-19x146",
        "rail,300,half,pine-19x146",
        "brace,300,2,oak");
    awaitEnded("stands");

    Path why = folder.folder.resolve("refused/wrong.csv.why.txt");
    await("the refusal is written").atMost(SiteFolder.PATIENCE).until(() -> Files.exists(why));
    assertThat(Files.readString(why)).contains("line 2").contains("line 3").contains("line 4");
    awaitMadeInFull("stands", 4);
    awaitAgreement();
  }

  @Test
  void aPowerCycleOfTheDeviceLosesAndDoublesNothing() throws IOException {
    folder.drop("comb-honey-supers.csv", SUPERS);
    folder.awaitMade("comb-honey-supers", 3);
    device.powerCycle();
    folder.awaitMade("comb-honey-supers", 6);
    device.powerCycle();
    awaitEnded("comb-honey-supers");

    awaitMadeInFull("comb-honey-supers", 16);
    awaitAgreement();
  }

  @Test
  void aSiteThatIsClosedInMidJobGoesOnWhereItWas() throws IOException, SiteHeldException {
    folder.drop("comb-honey-supers.csv", SUPERS);
    folder.awaitMade("comb-honey-supers", 3);
    site.close();
    start();
    awaitEnded("comb-honey-supers");

    awaitMadeInFull("comb-honey-supers", 16);
    assertThat(folder.rows("select kind from event where kind = 'job-queued'"))
        .isEqualTo(List.of("job-queued"));
    awaitAgreement();
  }

  @Test
  void aSecondSiteOnTheSameFolderIsRefused() {
    ConfigResult read = ConfigReader.read(folder.config());
    org.assertj.core.api.Assertions.assertThatThrownBy(
            () -> Site.open(((ConfigResult.Good) read).config(), Clock.systemUTC()))
        .isInstanceOf(SiteHeldException.class);
  }
}
