package org.kerftally.daemon.intake.folder;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.problem.Problem;

/**
 * Keeps the originals that were refused, each beside its reasons in {@code NAME.why.txt}.
 *
 * <p>The reasons are written whole before the file moves, so that no file is ever here without
 * them. A crash in between leaves reasons without a file; the file is refused again and they are
 * replaced. A name that is in use gets a number, nothing is overwritten. For one thread.
 */
final class RefusedFolder {

  private static final int MAX_TRIES = 1_000;

  private final Path inbox;
  private final Path refused;
  private final FolderOps ops;

  RefusedFolder(Path inbox, Path refused, FolderOps ops) {
    this.inbox = inbox;
    this.refused = refused;
    this.ops = ops;
  }

  /**
   * Moves a file here with its reasons.
   *
   * @return its name here, or {@code null} when it changed meanwhile and so stayed where it is
   */
  @Nullable String refuse(FileFacts file, Instant at, List<Problem> problems) throws IOException {
    String name = freeName(file.name());
    Path why = refused.resolve(name + FileNames.WHY);
    Path draft = refused.resolve("." + name + FileNames.WHY + ".tmp");
    String next = "mend " + file.name() + " and drop it into inbox/ again; it is then read anew.";
    ops.write(draft, WhyText.of(file.name(), at, problems, next));
    ops.replace(draft, why);
    ops.force(refused);
    FileFacts now = ops.look(file.path());
    if (now == null || !now.looksLike(file)) {
      ops.delete(why);
      return null;
    }
    ops.move(file.path(), refused.resolve(name));
    ops.force(refused);
    ops.force(inbox);
    return name;
  }

  private String freeName(String name) throws IOException {
    for (int number = 1; number <= MAX_TRIES; number++) {
      String free = FileNames.refused(name, number);
      if (ops.look(refused.resolve(free)) == null) {
        return free;
      }
    }
    throw new IOException(
        "refused/ holds " + MAX_TRIES + " files named like " + name + ": clear it");
  }
}
