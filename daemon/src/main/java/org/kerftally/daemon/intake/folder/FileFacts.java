package org.kerftally.daemon.intake.folder;

import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * Describes a file as one look at its folder showed it, links not followed.
 *
 * @param path the file; for a listed one exactly as the folder has it, even where the platform's
 *     charset cannot show its name
 * @param kind what it is
 * @param size its size in bytes
 * @param modified when it was last written, as the file system says
 * @param key what tells it from a file that took its place, or {@code null} where there is no such
 */
public record FileFacts(Path path, Kind kind, long size, FileTime modified, @Nullable Object key) {

  /** Tells the kinds of files apart. */
  public enum Kind {
    /** A file with content. */
    REGULAR,
    /** A folder. */
    FOLDER,
    /** A link to something else. */
    LINK,
    /** Anything else: a pipe, a device. */
    OTHER
  }

  /** Returns its name without folders. */
  public String name() {
    return String.valueOf(path.getFileName());
  }

  /** Tells whether nothing shows that the file was written to or replaced in between. */
  boolean looksLike(FileFacts other) {
    return kind == other.kind
        && size == other.size
        && modified.equals(other.modified)
        && Objects.equals(key, other.key);
  }
}
