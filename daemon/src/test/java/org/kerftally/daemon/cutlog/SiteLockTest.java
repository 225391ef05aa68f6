package org.kerftally.daemon.cutlog;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

final class SiteLockTest {

  @TempDir Path folder;

  @Test
  void aHeldFolderIsRefusedAndTheHolderNamed() throws Exception {
    SiteLock lock = SiteLock.acquire(folder);
    String pid = Long.toString(ProcessHandle.current().pid());
    assertThat(Files.readString(folder.resolve(SiteLock.FILE_NAME)).strip()).isEqualTo(pid);
    assertThatThrownBy(() -> SiteLock.acquire(folder))
        .isInstanceOf(SiteHeldException.class)
        .hasMessageContaining("process " + pid)
        .hasMessageContaining(folder.toString());
    lock.close();
    lock.close();
    SiteLock.acquire(folder).close();
  }

  @Test
  void anotherProcessThatHoldsTheFolderIsSeenUntilItIsKilled() throws Exception {
    ChildJvm child = ChildJvm.start(HoldFolder.class, folder.toString());
    try {
      assertThat(child.readLine()).isEqualTo("held");
      assertThatThrownBy(() -> SiteLock.acquire(folder))
          .isInstanceOf(SiteHeldException.class)
          .hasMessageContaining("process " + child.pid());
    } finally {
      child.kill();
    }
    SiteLock.acquire(folder).close();
  }

  @Test
  void aFolderThatIsNotThereIsNamed() {
    assertThatThrownBy(() -> SiteLock.acquire(folder.resolve("none")))
        .isInstanceOf(UncheckedIOException.class)
        .hasMessageContaining("none");
  }

  /** Holds a folder until it is killed or its input ends. */
  static final class HoldFolder {

    private HoldFolder() {}

    public static void main(String[] args) throws Exception {
      try (SiteLock lock = SiteLock.acquire(Path.of(args[0]))) {
        ChildJvm.say("held");
        while (System.in.read() >= 0) {
          // Nothing is ever written to it; its end means that the parent is gone.
        }
      }
    }
  }
}
