package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.time.Clock;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.daemon.cutlog.SiteLock;
import org.kerftally.daemon.site.SiteFolder;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.LinkUp;

final class LogCommandTest {

  private static final String NOBODY = "opcua: { endpoint: \"opc.tcp://127.0.0.1:9\" }";

  @TempDir Path root;

  private SiteFolder site;
  private Path db;

  @BeforeEach
  void make() throws IOException {
    site = new SiteFolder(root.resolve("site"));
    site.configure(NOBODY);
    db = site.config().resolveSibling("kerftally.db");
    try (CutLog log = CutLog.open(db, Clock.systemUTC())) {
      log.append("saw1", List.of(new LinkUp(), new FaultRaised("low-air", "No air")));
    }
  }

  private void tamper() throws SQLException {
    try (var other = DriverManager.getConnection("jdbc:sqlite:" + db);
        var statement = other.createStatement()) {
      statement.execute("UPDATE fault SET text = 'nothing to see'");
    }
  }

  @Test
  void aSoundLogIsToldWithItsExtent() {
    Shell shell = Shell.run("log", "check", "-c", site.config());

    assertThat(shell.err()).isEmpty();
    assertThat(shell.code()).isZero();
    assertThat(shell.out())
        .contains("2 events", "of saw1", "Pages sound", "nothing missing at the end")
        .doesNotContain("Note", "holds the folder");
  }

  @Test
  void aRunningServiceIsSaidAndNotDisturbed() throws Exception {
    try (SiteLock held = SiteLock.acquire(db.getParent());
        CutLog log = CutLog.open(db, Clock.systemUTC())) {
      assertThat(held).isNotNull();
      Shell shell = Shell.run("log", "check", "--db", db);
      assertThat(shell.out()).contains("A service holds the folder", "2 events");
      assertThat(shell.code()).isZero();
      log.append("saw1", List.of(new LinkUp()));
      assertThat(Shell.run("log", "check", "--db", db).out()).contains("3 events");
      assertThat(log.verify()).isEmpty();
    }
  }

  @Test
  void whatIsWrongIsNumberedWithAWayOutThatWorks() throws Exception {
    tamper();

    Shell check = Shell.run("log", "check", "-c", site.config());
    assertThat(check.code()).isEqualTo(1);
    assertThat(check.err()).contains("1. table fault", "nothing to see", "No air", "log rebuild");

    Shell rebuild = Shell.run("log", "rebuild", "-c", site.config());
    assertThat(rebuild.err()).isEmpty();
    assertThat(rebuild.code()).isZero();
    assertThat(rebuild.out()).contains("Made anew from 2 events", "-kept-", "Pages sound");
    assertThat(Shell.run("log", "check", "-c", site.config()).code()).isZero();
  }

  @Test
  void aRebuildBesideARunningServiceIsRefused() throws Exception {
    byte[] before = Files.readAllBytes(db);
    try (SiteLock held = SiteLock.acquire(db.getParent())) {
      assertThat(held).isNotNull();
      Shell shell = Shell.run("log", "rebuild", "-c", site.config());
      assertThat(shell.code()).isEqualTo(75);
      assertThat(shell.err()).contains("another instance");
    }
    assertThat(Files.readAllBytes(db)).isEqualTo(before);
  }

  @Test
  void aLogThatIsNotThereIsSaid() {
    Path none = root.resolve("none.db");
    Shell check = Shell.run("log", "check", "--db", none);
    assertThat(check.code()).isEqualTo(1);
    assertThat(check.err()).contains("there is no cut log");
    Shell rebuild = Shell.run("log", "rebuild", "--db", none);
    assertThat(rebuild.code()).isEqualTo(1);
    assertThat(rebuild.err()).contains("there is no cut log");
  }

  @Test
  void aFileThatIsNoLogIsRefusedInWords() throws IOException {
    Path text = Files.writeString(root.resolve("list.db"), "part,length,qty\n".repeat(500));
    Shell check = Shell.run("log", "check", "--db", text);
    assertThat(check.code()).isEqualTo(1);
    assertThat(check.err()).contains("list.db").doesNotContain("Exception");
    assertThat(Shell.run("log", "rebuild", "--db", text, "--accept-loss").code()).isEqualTo(1);
    assertThat(text).content().startsWith("part,length,qty");
  }

  @Test
  void usageAndConfigurationAreToldApart() throws IOException {
    assertThat(Shell.run("log").code()).isEqualTo(2);
    assertThat(Shell.run("log", "check").code()).isEqualTo(2);
    assertThat(Shell.run("log", "check", "-c", site.config(), "--db", db).code()).isEqualTo(2);
    Path bad = Files.writeString(root.resolve("bad.yaml"), "folder: [");
    assertThat(Shell.run("log", "check", "-c", bad).code()).isEqualTo(78);
    assertThat(Shell.run("log", "rebuild", "-c", bad).code()).isEqualTo(78);
  }
}
