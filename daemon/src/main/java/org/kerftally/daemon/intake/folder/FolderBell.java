package org.kerftally.daemon.intake.folder;

import java.io.IOException;
import java.nio.file.ClosedWatchServiceException;
import java.nio.file.Path;
import java.nio.file.StandardWatchEventKinds;
import java.nio.file.WatchKey;
import java.nio.file.WatchService;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Shortens the wait between two looks at the folders when the system tells of a change.
 *
 * <p>Only a hint: what it tells is not even read, and where it tells nothing, as on a network
 * share, the wait is as long as the polling interval. A folder that cannot be watched, or that went
 * and came back, costs latency and nothing else. For one thread; {@link #close} for any.
 */
public final class FolderBell implements AutoCloseable {

  /** How long a burst of changes is let pass before it counts as one. */
  private static final long BURST_MILLIS = 50;

  private static final Logger LOG = LoggerFactory.getLogger(FolderBell.class);

  private final @Nullable WatchService service;
  private final CountDownLatch closed = new CountDownLatch(1);

  private FolderBell(@Nullable WatchService service) {
    this.service = service;
  }

  /** Watches the folders that can be watched. */
  public static FolderBell on(List<Path> folders) {
    WatchService service = null;
    try {
      service = folders.get(0).getFileSystem().newWatchService();
      for (Path folder : folders) {
        folder.register(
            service,
            StandardWatchEventKinds.ENTRY_CREATE,
            StandardWatchEventKinds.ENTRY_MODIFY,
            StandardWatchEventKinds.ENTRY_DELETE);
      }
    } catch (IOException | UnsupportedOperationException e) {
      LOG.debug("folders are polled only", e);
    }
    return new FolderBell(service);
  }

  /**
   * Waits for a change, at most for the given time; not at all once it is closed.
   *
   * @throws InterruptedException when the thread is told to stop
   */
  public void await(long timeoutMillis) throws InterruptedException {
    if (service == null) {
      waitForClose(timeoutMillis);
      return;
    }
    try {
      WatchKey key = service.poll(timeoutMillis, TimeUnit.MILLISECONDS);
      if (key != null) {
        waitForClose(Math.min(BURST_MILLIS, timeoutMillis));
      }
      while (key != null) {
        key.pollEvents();
        key.reset();
        key = service.poll();
      }
    } catch (ClosedWatchServiceException e) {
      LOG.debug("the wait is over");
    }
  }

  private void waitForClose(long timeoutMillis) throws InterruptedException {
    if (closed.await(timeoutMillis, TimeUnit.MILLISECONDS)) {
      LOG.debug("the wait is over");
    }
  }

  @Override
  public void close() {
    closed.countDown();
    if (service != null) {
      try {
        service.close();
      } catch (IOException e) {
        LOG.debug("a folder's watch could not be closed", e);
      }
    }
  }
}
