package org.kerftally.daemon.intake.folder;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Locale;

/**
 * Keeps the originals of the jobs that were taken, named by job id.
 *
 * <p>The job is in the cut log before its file comes here, and planning in between takes seconds.
 * So the inbox may by then hold a newer file of that name: it stays there, and the original is
 * written from memory. For one thread.
 */
final class TakenFolder {

  private static final int MAX_TRIES = 1_000;

  private final Path inbox;
  private final Path taken;
  private final FolderOps ops;

  TakenFolder(Path inbox, Path taken, FolderOps ops) {
    this.inbox = inbox;
    this.taken = taken;
    this.ops = ops;
  }

  /** Tells whether the original of a job is here. */
  boolean holds(String id) throws IOException {
    for (String extension : FileNames.jobExtensions()) {
      if (ops.look(taken.resolve(id + "." + extension)) != null) {
        return true;
      }
    }
    return false;
  }

  /**
   * Moves a job's file here.
   *
   * @param file the file as it was read
   * @param id the job's id
   * @param content what was read and taken
   */
  void take(FileFacts file, String id, byte[] content) throws IOException {
    String name = id + "." + FileNames.extension(file.name()).toLowerCase(Locale.ROOT);
    Path target = taken.resolve(name);
    FileFacts now = ops.look(file.path());
    if (now != null && now.looksLike(file)) {
      ops.move(file.path(), target);
      if (!Arrays.equals(ops.read(target, content.length), content)) {
        putBack(target, file.name());
        write(target, content);
      }
    } else {
      write(target, content);
    }
    ops.force(taken);
    ops.force(inbox);
  }

  private void write(Path target, byte[] content) throws IOException {
    Path draft = taken.resolve("." + target.getFileName() + ".tmp");
    ops.write(draft, content);
    ops.replace(draft, target);
  }

  /** Returns to the inbox what took the file's place between the last look and the move. */
  private void putBack(Path newer, String name) throws IOException {
    for (int number = 1; number <= MAX_TRIES; number++) {
      Path free = inbox.resolve(FileNames.refused(name, number));
      if (ops.look(free) == null) {
        ops.move(newer, free);
        return;
      }
    }
    throw new IOException("no free name in the inbox for " + name);
  }
}
