package org.kerftally.daemon.trace;

import java.nio.file.Path;
import java.time.Clock;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.SecretPlaces;
import org.kerftally.config.SiteConfig;
import org.kerftally.daemon.service.DecisionWitness;
import org.kerftally.daemon.service.StationSetup;
import org.kerftally.daemon.station.Decision;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.daemon.station.StationState;
import org.kerftally.protocol.LinkTap;

/**
 * Records one station while it works: what passes over its wire, what its core is given and what it
 * decides; see {@link TraceLine} for the form.
 *
 * <p>The service records itself, because nobody can look on from outside unharmed: a second client
 * of a wired device would begin with taking a strobe back, and a broker may throw the first one
 * off.
 *
 * <p>A trace never stops nor slows its station: the threads of owner and link only put references
 * into a bounded queue, one thread writes. What finds no room is counted, and the file says how
 * much is missing; so it does where the disk was full.
 *
 * <p>No secret of the site is written: each text is looked through, see {@link Blanking}.
 */
public final class StationTrace implements DecisionWitness, LinkTap, AutoCloseable {

  private static final long FLUSH_MILLIS = 200;
  private static final long CLOSE_MILLIS = 5_000;

  private final TraceQueue queue = new TraceQueue();
  private final TraceWriter writer;
  private final Clock clock;
  private final @Nullable Thread thread;
  private final AtomicBoolean gap = new AtomicBoolean();
  private int ticks;

  /** Makes a trace that is stepped by a test. */
  StationTrace(TraceWriter writer, Clock clock) {
    this.writer = writer;
    this.clock = clock;
    this.thread = null;
  }

  private StationTrace(TraceWriter writer, Clock clock, String name) {
    this.writer = writer;
    this.clock = clock;
    this.thread = new Thread(this::work, "kerftally-trace-" + name);
    thread.setDaemon(true);
    thread.start();
  }

  /**
   * Starts to record.
   *
   * @param folder where the files go; made when needed
   * @param kerftally the version that runs
   * @param state the station's state before its first decision
   */
  public static StationTrace start(
      Path folder,
      String kerftally,
      SiteConfig site,
      StationSetup setup,
      StationState state,
      Clock clock,
      LongSupplier nanos) {
    TraceWriter writer =
        new TraceWriter(
            new TraceWriter.Subject(kerftally, site.effectiveYaml(setup.config()), setup.rules()),
            state,
            new TraceFiles(folder, setup.name(), TraceFiles.DISK),
            new Blanking(SecretPlaces.of(site)),
            clock,
            nanos,
            TraceWriter.MAX_FILE_BYTES);
    return new StationTrace(writer, clock, setup.name());
  }

  @Override
  public void decided(Question question, Decision decision, boolean written) {
    boolean idle =
        question.input() instanceof StationInput.Tick
            && decision.events().isEmpty()
            && decision.effects().isEmpty()
            && decision.senses().equals(question.senses());
    if (idle && !gap.get() && ticks < Integer.MAX_VALUE) {
      ticks++;
      return;
    }
    put(new TraceItem.Taken(question, decision, null, written, ticks));
    ticks = 0;
  }

  @Override
  public void failed(Question question, Throwable failure) {
    put(new TraceItem.Taken(question, null, failure.toString(), false, ticks));
    ticks = 0;
  }

  @Override
  public boolean listens() {
    return true;
  }

  @Override
  public void text(Way way, String what, String place, String value) {
    put(new TraceItem.Text(clock.instant(), way, what, place, value));
  }

  @Override
  public void bytes(Way way, String what, String place, byte[] payload) {
    put(new TraceItem.Message(clock.instant(), way, what, place, payload));
  }

  /** After a loss the next decision is written whatever it is: it brings the state along. */
  private void put(TraceItem item) {
    boolean taken = queue.put(item);
    if (!taken) {
      gap.set(true);
    } else if (item instanceof TraceItem.Taken) {
      gap.set(false);
    }
  }

  private void work() {
    try {
      while (!queue.isClosed() || !queue.isEmpty()) {
        step(FLUSH_MILLIS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    writer.end();
  }

  /** Writes what waits, or flushes when nothing comes within so long. */
  void step(long waitMillis) throws InterruptedException {
    TraceItem item = queue.take(waitMillis);
    if (item != null) {
      writer.write(item);
    }
    writer.lose(queue.takeLost());
    if (queue.isEmpty()) {
      writer.flush();
    }
  }

  /** Writes what waits, within a bounded time, and ends. */
  @Override
  public void close() {
    queue.close();
    if (thread == null) {
      writer.end();
      return;
    }
    try {
      thread.join(CLOSE_MILLIS);
      if (thread.isAlive()) {
        thread.interrupt();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
