package org.kerftally.daemon.intake.folder;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Performs the single steps on files that intake is made of. Each is one step in the sense that a
 * crash before or after it is provided for; the real one is {@link DiskFolderOps}.
 */
public interface FolderOps {

  /**
   * Lists what is in a folder, by name; at most as many entries as the implementation says.
   *
   * @throws java.nio.file.NoSuchFileException when there is no such folder
   */
  List<FileFacts> list(Path folder) throws IOException;

  /** Looks at one file, and returns {@code null} when there is none. */
  @Nullable FileFacts look(Path file) throws IOException;

  /** Reads a file whole, but not more than {@code maxBytes} + 1 bytes of it. */
  byte[] read(Path file, int maxBytes) throws IOException;

  /** Makes a folder in an existing one; does nothing when it is there. */
  void makeFolder(Path folder) throws IOException;

  /** Writes a file and forces it to the disk. A crash may leave any part of it. */
  void write(Path file, byte[] content) throws IOException;

  /** Gives a file of the same folder another name, atomically; replaces a file of that name. */
  void replace(Path from, Path to) throws IOException;

  /**
   * Moves a file to another folder, atomically where both are in one file system.
   *
   * @throws java.nio.file.FileAlreadyExistsException when there is one of that name
   */
  void move(Path from, Path to) throws IOException;

  /** Deletes a file; does nothing when there is none. */
  void delete(Path file) throws IOException;

  /** Forces the names in a folder to the disk, where the platform can. */
  void force(Path folder) throws IOException;
}
