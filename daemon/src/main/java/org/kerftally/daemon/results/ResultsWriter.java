package org.kerftally.daemon.results;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.EnumSet;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.cutlog.CutLogException;
import org.kerftally.daemon.stock.StockLedger;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.ShopEvent.JobWithdrawn;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.problem.Problem;

/**
 * Keeps the result files of every job, and the offcuts to hand, as the cut log has them.
 *
 * <p>Why it is built so. The files lie on a disk or share that may be full, slow or gone, and the
 * saw must not wait for it. So the log's subscriber only folds and notes which files have changed,
 * and one owner thread writes them when it comes to it, each file whole and in one step. What is
 * written is always the newest state: ten cuts between two writes are one write, and a write that
 * failed is simply made later. Nothing can be lost by that, since the log has it all; after a
 * restart every file is made again from a replay and written where it differs.
 *
 * <p>Rows of cuts are not kept in memory but read from the log when they are to be written. Of
 * finished jobs the newest {@value #MAX_FINISHED} are known; files of older ones are final and are
 * not looked at any more, so that whoever clears them away does not find them back.
 *
 * <p>Threads: {@link #accept} and the queries may be called from any thread and never wait for a
 * disk; {@link #doWork} belongs to one owner thread.
 */
public final class ResultsWriter {

  /** How many finished jobs are known. */
  static final int MAX_FINISHED = 500;

  /** Most files written in one step, so that the owner can be stopped between steps. */
  static final int MAX_WRITES_PER_STEP = 16;

  /** Most problems told one by one. */
  static final int MAX_PROBLEMS = 20;

  private final ResultsSite site;
  private final JobPages pages;
  private final LongSupplier nanoTime;
  private final AtomicFile.Steps disk;
  private final JobTallies tallies = new JobTallies(MAX_FINISHED);
  private final WriteQueue<Unit> queue = new WriteQueue<>();
  private StockLedger stock = StockLedger.EMPTY;
  private boolean writing;

  /** One file to write: of a job, or the site's offcuts. */
  private record Unit(@Nullable String job, @Nullable JobFile file) {
    static final Unit OFFCUTS = new Unit(null, null);
  }

  /**
   * Sets up; nothing is written before {@link #doWork}.
   *
   * @param site where results go
   * @param nanoTime a clock of nanoseconds that never falls, such as {@link System#nanoTime}
   */
  public ResultsWriter(ResultsSite site, LongSupplier nanoTime) {
    this(site, nanoTime, AtomicFile.DISK);
  }

  /** Sets up with other steps on the disk than the real ones. */
  public ResultsWriter(ResultsSite site, LongSupplier nanoTime, AtomicFile.Steps disk) {
    this.disk = disk;
    this.site = site;
    this.pages = new JobPages(site);
    this.nanoTime = nanoTime;
  }

  /** Takes an event of the log, in order: first all of a replay, then each as it happens. */
  public synchronized void accept(Recorded recorded) {
    long now = nanoTime.getAsLong();
    for (JobTally tally : tallies.apply(recorded)) {
      filesChangedBy(recorded.event()).forEach(file -> queue.want(new Unit(tally.id(), file), now));
    }
    StockLedger before = stock;
    stock = stock.apply(recorded);
    boolean first = recorded.id() == 1;
    if (first || (stock != before && !stock.offcuts().equals(before.offcuts()))) {
      queue.want(Unit.OFFCUTS, now);
    }
  }

  private static Set<JobFile> filesChangedBy(Event event) {
    if (event instanceof JobTaken
        || event instanceof JobQueued
        || event instanceof Replanned
        || event instanceof JobWithdrawn) {
      return EnumSet.allOf(JobFile.class);
    } else if (event instanceof CutBooked cut
        && (cut.kind() == CutKind.SUSPECT || cut.kind() == CutKind.UNATTRIBUTED)) {
      return EnumSet.of(JobFile.COUNTS, JobFile.CUTS, JobFile.INCIDENTS);
    } else if (event instanceof FaultRaised
        || event instanceof FaultCleared
        || event instanceof LinkDown
        || event instanceof LinkUp) {
      return EnumSet.of(JobFile.INCIDENTS);
    } else if (event instanceof CutBooked
        || event instanceof PieceRemained
        || event instanceof PieceRejected) {
      return EnumSet.of(JobFile.COUNTS, JobFile.CUTS);
    }
    return EnumSet.of(JobFile.COUNTS);
  }

  /**
   * Writes what is due, at most {@value #MAX_WRITES_PER_STEP} files. A file that cannot be written
   * is tried again later and told by {@link #problems} until it is.
   *
   * @return how many files were looked at; 0 means that nothing was due
   */
  public int doWork() {
    int done = 0;
    while (done < MAX_WRITES_PER_STEP && step()) {
      done++;
    }
    return done;
  }

  private record Work(Unit unit, @Nullable JobTally tally, StockLedger stock) {}

  private synchronized @Nullable Work take() {
    Optional<Unit> taken = queue.take(nanoTime.getAsLong());
    if (taken.isEmpty()) {
      return null;
    }
    writing = true;
    Unit unit = taken.get();
    return new Work(unit, unit.job() == null ? null : tallies.get(unit.job()).orElse(null), stock);
  }

  private boolean step() {
    Work work = take();
    if (work == null) {
      return false;
    }
    long begun = nanoTime.getAsLong();
    Problem problem = null;
    boolean known = true;
    try {
      known = write(work);
    } catch (IOException e) {
      problem = problem(work.unit(), told(e));
    } catch (CutLogException e) {
      problem = problem(work.unit(), String.valueOf(e.getMessage()));
    }
    settle(work.unit(), known, begun, problem);
    return true;
  }

  /** Writes one file, and tells whether its job is still known. */
  private boolean write(Work work) throws IOException {
    JobTally tally = work.tally();
    JobFile file = work.unit().file();
    if (file == null) {
      AtomicFile.replaceIfDifferent(
          disk, site.offcutsFile(), ResultTables.offcuts(work.stock().offcuts()).getBytes(UTF_8));
      return true;
    }
    if (tally == null) {
      return false;
    }
    AtomicFile.replaceIfDifferent(disk, path(work.unit()), pages.content(tally, file));
    return true;
  }

  private synchronized void settle(
      Unit unit, boolean known, long begun, @Nullable Problem problem) {
    long now = nanoTime.getAsLong();
    writing = false;
    if (!known) {
      queue.drop(unit);
    } else if (problem == null) {
      queue.written(unit, now, now - begun);
    } else {
      queue.failed(unit, now, problem);
    }
  }

  private Path path(Unit unit) {
    return unit.job() == null || unit.file() == null
        ? site.offcutsFile()
        : site.jobFolder(unit.job()).resolve(unit.file().fileName());
  }

  private Problem problem(Unit unit, String reason) {
    return new Problem(
        path(unit).toString(),
        0,
        null,
        "cannot be written: " + reason,
        "It is tried again by itself and nothing is lost: the cut log has it. See to the disk or"
            + " the share.");
  }

  private static String told(IOException e) {
    String message = Objects.requireNonNullElse(e.getMessage(), e.getClass().getSimpleName());
    if (e instanceof NoSuchFileException) {
      return "no such folder: " + message;
    } else if (e instanceof AccessDeniedException) {
      return "no permission: " + message;
    } else if (e instanceof FileSystemException system && system.getReason() != null) {
      return system.getReason();
    }
    return message;
  }

  /** Returns in how many nanoseconds {@link #doWork} has something to do, or -1 for not now. */
  public synchronized long nanosUntilWork() {
    return queue.nanosUntilDue(nanoTime.getAsLong());
  }

  /** Tells whether every file is as the log has it. */
  public synchronized boolean settled() {
    return !writing && queue.nanosUntilDue(nanoTime.getAsLong()) < 0;
  }

  /**
   * Returns what could not be written so far, at most {@value #MAX_PROBLEMS}; empty when all is.
   */
  public synchronized List<Problem> problems() {
    List<Problem> problems = queue.problems();
    return List.copyOf(problems.subList(0, Math.min(MAX_PROBLEMS, problems.size())));
  }
}
