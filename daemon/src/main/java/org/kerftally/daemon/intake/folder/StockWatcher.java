package org.kerftally.daemon.intake.folder;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.IntakeConfig;
import org.kerftally.daemon.intake.Sha256;
import org.kerftally.daemon.intake.StockFileReader;
import org.kerftally.daemon.intake.StockReading;
import org.kerftally.shared.problem.Problem;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Watches the office's {@code stock.csv}, which is only ever read.
 *
 * <p>A statement of stock voids the consumption counted since the one before. So a content counts
 * as a new statement only when its hash differs from the one in force, never because the file was
 * touched or the service started. A bad or missing file changes nothing; its problems are state,
 * and stand in {@code stock.why.txt} beside it until it is good again.
 *
 * <p>The file is taken by the same rules of stillness as a job file. It is read again every minute
 * even when nothing shows a change, for a tool may preserve size and time. {@link #doWork} is for
 * one thread, the rest for any.
 */
public final class StockWatcher {

  private static final long RECHECK_NANOS = TimeUnit.SECONDS.toNanos(60);

  /** How long job files wait for a stock file that does not stop changing or cannot be read. */
  private static final long HOLD_NANOS = TimeUnit.SECONDS.toNanos(10);

  private static final Logger LOG = LoggerFactory.getLogger(StockWatcher.class);
  private static final String TOPIC = "stock";
  private static final String WHY_TOPIC = "why";

  private final Path file;
  private final Path why;
  private final Path whyDraft;
  private final IntakeConfig config;
  private final FolderOps ops;
  private final Clocks clocks;
  private final StockListener listener;
  private final Murmur murmur = new Murmur();
  private @Nullable String judgedSha;
  private @Nullable Candidate candidate;
  private @Nullable FileFacts judged;
  private long judgedAtNanos;
  private boolean pending;
  private long pendingSinceNanos;
  private long troubledSinceNanos;
  private boolean whyIsSettled;
  private volatile boolean settled;
  private volatile StockState state;

  /**
   * Sets up a watcher; touches nothing yet.
   *
   * @param site the site's folder
   * @param config how still a file must be, and how large it may be
   * @param ops the steps on files
   * @param clocks both kinds of time
   * @param shaInForce the hash of the latest statement in the cut log, or {@code null}
   * @param listener is told of statements
   */
  public StockWatcher(
      Path site,
      IntakeConfig config,
      FolderOps ops,
      Clocks clocks,
      @Nullable String shaInForce,
      StockListener listener) {
    this.file = site.resolve("stock.csv");
    this.why = site.resolve("stock.why.txt");
    this.whyDraft = site.resolve(".stock.why.txt.tmp");
    this.config = config;
    this.ops = ops;
    this.clocks = clocks;
    this.listener = listener;
    this.state = new StockState(shaInForce, List.of(), null);
  }

  /** Returns how the file stood after the latest step. */
  public StockState state() {
    return state;
  }

  /**
   * Tells whether the file was judged as it is now, so that job files may be checked against it.
   * Also true when there is none, when it did not stop changing for 10 s, and when it could not be
   * read for 10 s while an earlier one is in force.
   */
  public boolean isSettled() {
    return settled;
  }

  /**
   * Looks at the file once, and reads it when it is still and new.
   *
   * @return 1 when a statement was made or refused, else 0
   */
  public int doWork() {
    long now = clocks.nanos().getAsLong();
    try {
      FileFacts facts = ops.look(file);
      return facts == null ? missing() : present(facts, now);
    } catch (IOException e) {
      trouble(IoText.of(e), now);
      return 0;
    }
  }

  private void trouble(String trouble, long now) {
    if (candidate != null) {
      candidate.pause(trouble, now);
    }
    if (state.trouble() == null) {
      troubledSinceNanos = now;
    }
    settled = mayPassOver(now);
    state = new StockState(state.sha256(), state.problems(), trouble);
    if (murmur.speaks(TOPIC, trouble, now)) {
      LOG.warn("the stock file is not taken in: {}; the last stock stays in force", trouble);
    }
  }

  /**
   * Tells whether job files may go on without the file being read. A fault that passes must not
   * have them refused for a material that stands in it; and with no stock at all every one would.
   */
  private boolean mayPassOver(long now) {
    return state.sha256() != null && now - troubledSinceNanos >= HOLD_NANOS;
  }

  private void noTrouble() {
    if (state.trouble() != null) {
      state = new StockState(state.sha256(), state.problems(), null);
    }
    if (murmur.isOver(TOPIC)) {
      LOG.info("{} can be read again", file);
    }
  }

  private int missing() {
    if (candidate != null || !settled) {
      state = new StockState(state.sha256(), List.of(), null);
      whyIsSettled = false;
      settleWhy();
    }
    candidate = null;
    judged = null;
    judgedSha = null;
    pending = false;
    settled = true;
    noTrouble();
    return 0;
  }

  private int present(FileFacts facts, long now) throws IOException {
    Candidate seen = candidate;
    if (seen == null) {
      seen = new Candidate(facts, now);
      candidate = seen;
    } else {
      seen.seen(facts, now);
    }
    boolean changed = judged == null || !facts.looksLike(judged);
    if (changed && !pending) {
      pending = true;
      pendingSinceNanos = now;
    }
    boolean held = now - pendingSinceNanos >= HOLD_NANOS;
    settled = state.trouble() == null ? !pending || held : mayPassOver(now);
    if (!changed && now - judgedAtNanos < RECHECK_NANOS) {
      noTrouble();
      return 0;
    }
    long age = facts.size() == 0 ? InboxWatcher.PATIENCE_NANOS : config.minAge().toNanos();
    boolean ready = seen.isStill(age, now) && !seen.isPaused(now);
    return ready ? judge(seen, now) : 0;
  }

  private int judge(Candidate seen, long now) throws IOException {
    FileFacts facts = seen.facts();
    if (facts.kind() != FileFacts.Kind.REGULAR) {
      trouble("it is no plain file: " + file, now);
      return 0;
    }
    byte[] content = ops.read(file, (int) Math.min(config.maxBytes(), Integer.MAX_VALUE / 4));
    FileFacts after = ops.look(file);
    if (content.length <= config.maxBytes()
        && (after == null || !after.looksLike(facts) || content.length != facts.size())) {
      seen.restart(facts, now);
      return 0;
    }
    noTrouble();
    String sha = Sha256.hex(content);
    int done = 0;
    if (!sha.equals(judgedSha)) {
      done = judge(content, sha);
      judgedSha = sha;
    }
    judged = facts;
    judgedAtNanos = now;
    pending = false;
    settled = true;
    settleWhy();
    return done;
  }

  private int judge(byte[] content, String sha) throws IOException {
    whyIsSettled = false;
    if (Objects.equals(sha, state.sha256())) {
      state = new StockState(sha, List.of(), null);
      return 0;
    }
    StockReading reading =
        content.length > config.maxBytes()
            ? tooLarge()
            : StockFileReader.read(content, String.valueOf(file.getFileName()));
    if (reading instanceof StockReading.Good good) {
      listener.stated(sha, good.items());
      state = new StockState(sha, List.of(), null);
      LOG.info("the office stated the stock: {}", counted(good.items().size(), "line"));
    } else if (reading instanceof StockReading.Bad bad) {
      listener.refused(bad.problems());
      state = new StockState(state.sha256(), bad.problems(), null);
      LOG.warn("the stock file has {}: see {}", counted(bad.problems().size(), "problem"), why);
    }
    return 1;
  }

  private static String counted(int count, String noun) {
    return count + " " + noun + (count == 1 ? "" : "s");
  }

  private StockReading tooLarge() {
    return new StockReading.Bad(
        List.of(
            new Problem(
                String.valueOf(file.getFileName()),
                0,
                null,
                "it has more than " + config.maxBytes() + " bytes",
                "leave only the lines of the stock")));
  }

  /**
   * Writes or removes the reasons beside the file; when that fails, with the next recheck again.
   */
  private void settleWhy() {
    if (whyIsSettled) {
      return;
    }
    List<Problem> problems = state.problems();
    try {
      if (problems.isEmpty()) {
        ops.delete(why);
      } else {
        String next =
            "mend stock.csv where it is; the stock read before stays in force until then.";
        byte[] text = WhyText.of("stock.csv", clocks.wall().instant(), problems, next);
        ops.write(whyDraft, text);
        ops.replace(whyDraft, why);
      }
      whyIsSettled = true;
      murmur.isOver(WHY_TOPIC);
    } catch (IOException e) {
      String trouble = IoText.of(e);
      if (murmur.speaks(WHY_TOPIC, trouble, clocks.nanos().getAsLong())) {
        LOG.warn("the problems of the stock file cannot be written beside it: {}", trouble);
      }
    }
  }
}
