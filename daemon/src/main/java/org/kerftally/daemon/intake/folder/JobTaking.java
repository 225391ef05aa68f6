package org.kerftally.daemon.intake.folder;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.time.temporal.ChronoUnit;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Supplier;
import org.kerftally.daemon.intake.JobFileReader;
import org.kerftally.daemon.intake.JobReading;
import org.kerftally.daemon.intake.Sha256;
import org.kerftally.daemon.intake.ShopFacts;
import org.kerftally.daemon.intake.folder.Acceptor.Answer;
import org.kerftally.daemon.intake.folder.TakenJobs.TakenJob;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.problem.Problem;

/**
 * Takes one still file: reads it, offers it, moves it.
 *
 * <p>The order of steps makes a crash harmless. The job enters the cut log before its file moves,
 * and a job is known by the hash of its content. So a file in the inbox whose content the log knows
 * was either taken and not moved any more, or it is a repeat. It is the former when this job's
 * original is not in taken/, the names agree, and the file was in the inbox when this run began, or
 * this run took it itself and could not move it. For one thread.
 */
final class JobTaking {

  private final FolderOps ops;
  private final TakenFolder folder;
  private final TakenJobs jobs;
  private final Acceptor acceptor;
  private final Supplier<ShopFacts> facts;
  private final int maxBytes;
  private final Map<String, Path> unmoved = new HashMap<>();

  JobTaking(
      FolderOps ops,
      TakenFolder folder,
      TakenJobs jobs,
      Acceptor acceptor,
      Supplier<ShopFacts> facts,
      int maxBytes) {
    this.ops = ops;
    this.folder = folder;
    this.jobs = jobs;
    this.acceptor = acceptor;
    this.facts = facts;
    this.maxBytes = maxBytes;
  }

  /**
   * Takes a file as far as it goes.
   *
   * @param file the file as it was last seen
   * @param wasHereAtStart whether it was in the inbox when this run began
   * @param mayBeFilling whether it is too young to be judged by zero bytes in it
   */
  Outcome take(FileFacts file, boolean wasHereAtStart, boolean mayBeFilling) throws IOException {
    byte[] content = ops.read(file.path(), maxBytes);
    FileFacts after = ops.look(file.path());
    if (after == null || !after.looksLike(file) || content.length != file.size()) {
      return new Outcome.Changed();
    }
    if (mayBeFilling && isText8WithZeros(content)) {
      return new Outcome.Later("it holds zero bytes, as a file does that is still being copied");
    }
    TakenJob known = jobs.bySha256(Sha256.hex(content));
    if (known == null) {
      return offer(file, content);
    }
    boolean unfinished =
        file.path().equals(unmoved.get(known.id()))
            || (wasHereAtStart && known.file().equals(file.name()));
    if (unfinished && !folder.holds(known.id())) {
      return move(file, known.id(), content);
    }
    String day = known.at().truncatedTo(ChronoUnit.SECONDS).toString();
    return new Outcome.Refused(
        List.of(
            new Problem(
                file.name(),
                0,
                null,
                "this content was taken already as job " + known.id() + " on " + day,
                "to cut it once more, change something in it, such as the job's name")));
  }

  private Outcome offer(FileFacts file, byte[] content) throws IOException {
    JobReading reading;
    try {
      reading = JobFileReader.read(content, file.name(), facts.get(), this::isInUse);
    } catch (UncheckedIOException e) {
      throw e.getCause();
    }
    if (reading instanceof JobReading.Bad bad) {
      return new Outcome.Refused(bad.problems());
    }
    JobOrder order = ((JobReading.Good) reading).order();
    Answer answer = acceptor.offer(order);
    if (answer instanceof Answer.Refused refused) {
      return new Outcome.Refused(refused.problems());
    }
    if (answer instanceof Answer.Later later) {
      return new Outcome.Later(later.reason());
    }
    return move(file, order.id(), content);
  }

  private Outcome move(FileFacts file, String id, byte[] content) throws IOException {
    unmoved.put(id, file.path());
    folder.take(file, id, content);
    unmoved.remove(id);
    return new Outcome.Taken(id);
  }

  private boolean isInUse(String id) {
    try {
      return jobs.isKnown(id) || folder.holds(id);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Tells whether bytes without a mark of UTF-16 hold a zero, which no text does. */
  private static boolean isText8WithZeros(byte[] content) {
    boolean marked =
        content.length >= 2
            && ((content[0] == (byte) 0xFF && content[1] == (byte) 0xFE)
                || (content[0] == (byte) 0xFE && content[1] == (byte) 0xFF));
    for (byte b : content) {
      if (b == 0) {
        return !marked;
      }
    }
    return false;
  }

  /** Says how far it went. */
  sealed interface Outcome {

    /** The job is in the cut log and its file in taken/. */
    record Taken(String id) implements Outcome {}

    /** The file is to be refused. */
    record Refused(List<Problem> problems) implements Outcome {}

    /** The file changed while it was read. */
    record Changed() implements Outcome {}

    /** The file stays for now. */
    record Later(String reason) implements Outcome {}
  }
}
