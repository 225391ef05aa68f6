package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.daemon.cutlog.SiteLock;
import org.kerftally.daemon.site.SiteFolder;
import org.kerftally.shared.event.StationEvent.LinkUp;

/** Tells what a service says that cannot start. */
final class RunCommandTest {

  private static final String NOBODY = "opcua: { endpoint: \"opc.tcp://127.0.0.1:9\" }";

  @TempDir Path root;

  private SiteFolder site;

  @BeforeEach
  void make() throws IOException {
    site = new SiteFolder(root.resolve("site"));
    site.configure(NOBODY);
  }

  private Shell run() {
    return Shell.run("run", "-c", site.config());
  }

  @Test
  void aFolderThatCannotBeLockedIsSaidInOneLine() throws IOException {
    Files.createDirectory(site.folder.resolve(SiteLock.FILE_NAME));
    Shell shell = run();
    assertThat(shell.code()).isEqualTo(1);
    assertThat(shell.err()).contains("cannot lock").doesNotContain("\tat ");
  }

  @Test
  void aDamagedCutLogIsRefusedWithAWayOut() throws IOException {
    Path db = site.folder.resolve(Site.LOG_FILE);
    try (CutLog log = CutLog.open(db, Clock.systemUTC())) {
      log.append("saw1", List.of(new LinkUp()));
    }
    byte[] bytes = Files.readAllBytes(db);
    Files.write(db, Arrays.copyOf(bytes, bytes.length / 2));
    Shell shell = run();
    assertThat(shell.code()).isEqualTo(1);
    assertThat(shell.err()).contains("kerftally.db is damaged", "log check", "log rebuild");
  }

  @Test
  void aHeldFolderIsRefusedWithItsOwnCode() throws Exception {
    try (SiteLock held = SiteLock.acquire(site.folder)) {
      assertThat(held).isNotNull();
      assertThat(run().code()).isEqualTo(75);
    }
  }
}
