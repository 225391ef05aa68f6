package org.kerftally.daemon.intake.folder;

import java.io.IOException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.IntakeConfig;
import org.kerftally.daemon.intake.ShopFacts;
import org.kerftally.daemon.intake.folder.InboxState.Refusal;
import org.kerftally.daemon.intake.folder.InboxState.Waiting;
import org.kerftally.shared.problem.Problem;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Watches the inbox and brings each file to taken/ or refused/.
 *
 * <p>Every step lists the folder and compares with what it saw before: listing is the truth, since
 * a network share tells of no changes. A file is touched when two listings agree on its size and
 * time, it has looked so for the configured age, and its name is none of an unfinished file. What
 * happens then is in {@link JobTaking}; why nothing is lost when it is interrupted is written there
 * and in {@link RefusedFolder}.
 *
 * <pre>
 * read → validate → cut log → taken/ID.csv           the log knows the content: only the move is left
 * read → validate → refused/NAME.why.txt → refused/NAME    refused again: the reasons are replaced
 * </pre>
 *
 * <p>One step handles at most one file, so that its owner can stop between two. The folder's
 * trouble, and a single file's, is state: it is retried and shown, and logged now and then. {@link
 * #doWork} is for one thread, {@link #state} for any.
 */
public final class InboxWatcher {

  /** How long an empty file, or one with a foreign name, may stay: it may be filled or renamed. */
  static final long PATIENCE_NANOS = TimeUnit.SECONDS.toNanos(10);

  private static final Logger LOG = LoggerFactory.getLogger(InboxWatcher.class);
  private static final String FOLDERS = "folders";

  private final Path inbox;
  private final List<Path> folders;
  private final IntakeConfig config;
  private final FolderOps ops;
  private final Clocks clocks;
  private final JobTaking taking;
  private final RefusedFolder refused;
  private final Murmur murmur = new Murmur();
  private final Map<Path, Candidate> candidates = new LinkedHashMap<>();
  private final Deque<Refusal> refusals = new ArrayDeque<>();
  private @Nullable Set<Path> hereAtStart;
  private boolean foldersMade;
  private volatile InboxState state = InboxState.INITIAL;

  /**
   * Sets up a watcher; touches nothing yet.
   *
   * @param site the site's folder, which must exist when work begins
   * @param config how still a file must be, and how large it may be
   * @param ops the steps on files
   * @param clocks both kinds of time
   * @param facts gives what a job is checked against, asked anew for every file
   * @param jobs what the cut log holds
   * @param acceptor decides over jobs
   */
  public InboxWatcher(
      Path site,
      IntakeConfig config,
      FolderOps ops,
      Clocks clocks,
      Supplier<ShopFacts> facts,
      TakenJobs jobs,
      Acceptor acceptor) {
    this.inbox = site.resolve("inbox");
    Path taken = site.resolve("taken");
    this.folders = List.of(inbox, taken, site.resolve("refused"));
    this.config = config;
    this.ops = ops;
    this.clocks = clocks;
    int maxBytes = (int) Math.min(config.maxBytes(), Integer.MAX_VALUE / 4);
    TakenFolder takenFolder = new TakenFolder(inbox, taken, ops);
    this.taking = new JobTaking(ops, takenFolder, jobs, acceptor, facts, maxBytes);
    this.refused = new RefusedFolder(inbox, site.resolve("refused"), ops);
  }

  /** Returns how the inbox stood after the latest step. */
  public InboxState state() {
    return state;
  }

  /**
   * Looks at the inbox once, and takes or refuses at most one file.
   *
   * @return how many files were taken or refused: 1 when it is worth looking again at once, else 0
   */
  public int doWork() {
    String trouble = null;
    int handled = 0;
    try {
      look(list());
      if (murmur.isOver(FOLDERS)) {
        LOG.info("the inbox is back: {}", inbox);
      }
      handled = handleFirst();
    } catch (IOException e) {
      trouble = "the inbox cannot be read: " + IoText.of(e);
      if (murmur.speaks(FOLDERS, trouble, clocks.nanos().getAsLong())) {
        LOG.warn("{}; trying on", trouble);
      }
    }
    state = new InboxState(trouble, waiting(), List.copyOf(refusals));
    return handled;
  }

  private List<FileFacts> list() throws IOException {
    if (!foldersMade) {
      for (Path folder : folders) {
        ops.makeFolder(folder);
      }
      foldersMade = true;
    }
    try {
      return ops.list(inbox);
    } catch (NoSuchFileException e) {
      foldersMade = false;
      throw e;
    }
  }

  private void look(List<FileFacts> listed) {
    long now = clocks.nanos().getAsLong();
    Set<Path> present = new HashSet<>();
    for (FileFacts facts : listed) {
      boolean dropped =
          facts.kind() == FileFacts.Kind.REGULAR || facts.kind() == FileFacts.Kind.LINK;
      if (dropped && !FileNames.isPassedOver(facts.name())) {
        present.add(facts.path());
        Candidate before = candidates.get(facts.path());
        if (before == null) {
          candidates.put(facts.path(), new Candidate(facts, now));
        } else {
          before.seen(facts, now);
        }
      }
    }
    candidates.keySet().retainAll(present);
    if (hereAtStart == null) {
      hereAtStart = new HashSet<>(present);
    } else {
      hereAtStart.retainAll(present);
    }
  }

  private int handleFirst() {
    long now = clocks.nanos().getAsLong();
    for (Candidate candidate : candidates.values()) {
      boolean still = candidate.isStill(config.minAge().toNanos(), now);
      if (still && !candidate.isPaused(now) && handle(candidate, now)) {
        Path path = candidate.facts().path();
        candidates.remove(path);
        if (hereAtStart != null) {
          hereAtStart.remove(path);
        }
        return 1;
      }
    }
    return 0;
  }

  /** Handles a still file, and tells whether it is gone from the inbox. */
  private boolean handle(Candidate candidate, long now) {
    FileFacts file = candidate.facts();
    boolean patient = candidate.isStill(PATIENCE_NANOS, now);
    try {
      List<Problem> problems = problemsUnread(file);
      if (!problems.isEmpty()) {
        boolean mayChange = file.size() == 0 || !FileNames.isJobFile(file.name());
        return (patient || !mayChange) && refuse(candidate, problems);
      }
      boolean early = hereAtStart != null && hereAtStart.contains(file.path());
      JobTaking.Outcome outcome = taking.take(file, early, !patient);
      if (outcome instanceof JobTaking.Outcome.Refused bad) {
        return refuse(candidate, bad.problems());
      }
      if (outcome instanceof JobTaking.Outcome.Later later) {
        pause(candidate, later.reason());
      } else if (outcome instanceof JobTaking.Outcome.Changed) {
        candidate.restart(file, clocks.nanos().getAsLong());
      } else if (outcome instanceof JobTaking.Outcome.Taken taken) {
        LOG.info("{} was taken as job {}", file.name(), taken.id());
        murmur.isOver(file.name());
        return true;
      }
    } catch (NoSuchFileException e) {
      foldersMade = false;
      pause(candidate, IoText.of(e));
    } catch (IOException e) {
      pause(candidate, IoText.of(e));
    }
    return false;
  }

  private void pause(Candidate candidate, String reason) {
    long now = clocks.nanos().getAsLong();
    candidate.pause(reason, now);
    if (murmur.speaks(candidate.facts().name(), reason, now)) {
      LOG.warn("{} stays in the inbox: {}; trying on", candidate.facts().name(), reason);
    }
  }

  /** Returns what is wrong with a file that need not be read to know it. */
  private List<Problem> problemsUnread(FileFacts file) {
    String message;
    String hint;
    if (file.kind() == FileFacts.Kind.LINK) {
      message = "it is a link, which is not followed";
      hint = "drop the file itself";
    } else if (!FileNames.isJobFile(file.name())) {
      message = "it is no job file: its name ends in none of .csv and .json";
      hint = "save the cut list as CSV";
    } else if (file.size() == 0) {
      message = "the file is empty";
      hint = "write the header row and a line for each part";
    } else if (file.size() > config.maxBytes()) {
      message = "it has " + file.size() + " bytes, and " + config.maxBytes() + " are read at most";
      hint = "split it into several files, or check that it is a cut list";
    } else {
      return List.of();
    }
    return List.of(new Problem(file.name(), 0, null, message, hint));
  }

  private boolean refuse(Candidate candidate, List<Problem> problems) throws IOException {
    FileFacts file = candidate.facts();
    Instant at = clocks.wall().instant();
    String name = refused.refuse(file, at, problems);
    if (name == null) {
      candidate.restart(file, clocks.nanos().getAsLong());
      return false;
    }
    LOG.info(
        "{} was refused, {}: see refused/{}{}",
        file.name(),
        problems.size() == 1 ? "1 problem" : problems.size() + " problems",
        name,
        FileNames.WHY);
    murmur.isOver(file.name());
    refusals.addFirst(new Refusal(file.name(), name, at, problems, problems.size()));
    if (refusals.size() > InboxState.MAX_REFUSALS) {
      refusals.removeLast();
    }
    return true;
  }

  private List<Waiting> waiting() {
    List<Waiting> waiting = new ArrayList<>();
    for (Candidate candidate : candidates.values()) {
      if (waiting.size() == InboxState.MAX_WAITING) {
        break;
      }
      String trouble = candidate.trouble();
      waiting.add(
          new Waiting(
              candidate.facts().name(), trouble == null ? "it must stop changing first" : trouble));
    }
    return waiting;
  }
}
