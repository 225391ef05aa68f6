package org.kerftally.daemon.intake.folder;

import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.IntakeConfig;

/**
 * Owns the two watchers of a site and steps them in turn: stock first, so that a job file dropped
 * together with a new stock file is checked against that.
 *
 * <p>A test steps {@link #doWork} by hand; the service calls {@link #start}, and one thread does it
 * until {@link #close}.
 */
public final class Intake implements AutoCloseable {

  private static final long CLOSE_MILLIS = TimeUnit.SECONDS.toMillis(30);

  private final Path site;
  private final IntakeConfig config;
  private final StockWatcher stock;
  private final InboxWatcher inbox;
  private volatile boolean closing;
  private volatile @Nullable FolderBell bell;
  private @Nullable Thread thread;

  /** Joins the watchers of the site in the given folder. */
  public Intake(Path site, IntakeConfig config, StockWatcher stock, InboxWatcher inbox) {
    this.site = site;
    this.config = config;
    this.stock = stock;
    this.inbox = inbox;
  }

  /** Returns how the inbox stands. For any thread. */
  public InboxState inboxState() {
    return inbox.state();
  }

  /** Returns how the stock file stands. For any thread. */
  public StockState stockState() {
    return stock.state();
  }

  /**
   * Takes one step: looks at the stock file, then, unless that is just changing, at the inbox.
   *
   * @return how many files were read and judged: 0 when there is nothing more to do now
   */
  public int doWork() {
    int done = stock.doWork();
    return stock.isSettled() ? done + inbox.doWork() : done;
  }

  /**
   * Starts the thread that steps the watchers.
   *
   * @param onDeath is told, by that thread, of what ended it unasked
   */
  public synchronized void start(Consumer<Throwable> onDeath) {
    if (thread != null) {
      throw new IllegalStateException("intake was started already");
    }
    Thread started = new Thread(() -> run(onDeath), "intake");
    started.start();
    thread = started;
  }

  private void run(Consumer<Throwable> onDeath) {
    try {
      // The first step makes the folders that are then listened to.
      doWork();
      try (FolderBell ears = FolderBell.on(List.of(site, site.resolve("inbox")))) {
        bell = ears;
        while (!closing) {
          if (doWork() == 0) {
            ears.await(config.poll().toMillis());
          }
        }
      }
    } catch (InterruptedException e) {
      onDeath.accept(new IllegalStateException("the thread of intake was interrupted", e));
    } catch (RuntimeException | Error e) {
      onDeath.accept(e);
    }
  }

  /**
   * Stops the thread after the file it is at, and waits for it for at most 30 s. Should planning
   * take longer: the job is then taken or not, and the next start settles its file.
   */
  @Override
  public void close() {
    Thread running;
    synchronized (this) {
      closing = true;
      running = thread;
    }
    FolderBell ears = bell;
    if (ears != null) {
      ears.close();
    }
    if (running == null || running == Thread.currentThread()) {
      return;
    }
    try {
      running.join(CLOSE_MILLIS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
