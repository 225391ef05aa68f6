package org.kerftally.daemon.intake.folder;

import java.io.File;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Performs the steps on real files. Safe for use by any thread.
 *
 * <p>Where inbox and site lie in two file systems, a move becomes copy, rename, delete: a crash
 * between the last two leaves the file in both, and the next start refuses the one in the inbox as
 * a repeat of the one that was taken.
 */
public final class DiskFolderOps implements FolderOps {

  /** The most entries of a folder that are looked at in one go. */
  public static final int MAX_ENTRIES = 10_000;

  private static final boolean FOLDERS_CAN_BE_FORCED = File.separatorChar == '/';

  @Override
  public List<FileFacts> list(Path folder) throws IOException {
    List<FileFacts> all = new ArrayList<>();
    try (DirectoryStream<Path> entries = Files.newDirectoryStream(folder)) {
      for (Path entry : entries) {
        FileFacts facts = all.size() < MAX_ENTRIES ? look(entry) : null;
        if (facts != null) {
          all.add(facts);
        }
      }
    } catch (DirectoryIteratorException e) {
      throw e.getCause();
    }
    all.sort(Comparator.comparing(FileFacts::path));
    return all;
  }

  @Override
  public @Nullable FileFacts look(Path file) throws IOException {
    BasicFileAttributes found;
    try {
      found = Files.readAttributes(file, BasicFileAttributes.class, LinkOption.NOFOLLOW_LINKS);
    } catch (NoSuchFileException e) {
      return null;
    }
    FileFacts.Kind kind = FileFacts.Kind.OTHER;
    if (found.isSymbolicLink()) {
      kind = FileFacts.Kind.LINK;
    } else if (found.isDirectory()) {
      kind = FileFacts.Kind.FOLDER;
    } else if (found.isRegularFile()) {
      kind = FileFacts.Kind.REGULAR;
    }
    return new FileFacts(file, kind, found.size(), found.lastModifiedTime(), found.fileKey());
  }

  @Override
  public byte[] read(Path file, int maxBytes) throws IOException {
    try (InputStream in =
        Files.newInputStream(file, StandardOpenOption.READ, LinkOption.NOFOLLOW_LINKS)) {
      return in.readNBytes(maxBytes + 1);
    }
  }

  @Override
  public void makeFolder(Path folder) throws IOException {
    try {
      Files.createDirectory(folder);
    } catch (FileAlreadyExistsException e) {
      if (!Files.isDirectory(folder)) {
        throw e;
      }
    }
  }

  @Override
  public void write(Path file, byte[] content) throws IOException {
    try (FileChannel channel =
        FileChannel.open(
            file,
            StandardOpenOption.CREATE,
            StandardOpenOption.TRUNCATE_EXISTING,
            StandardOpenOption.WRITE)) {
      ByteBuffer rest = ByteBuffer.wrap(content);
      while (rest.hasRemaining()) {
        channel.write(rest);
      }
      channel.force(true);
    }
  }

  @Override
  public void replace(Path from, Path to) throws IOException {
    Files.move(from, to, StandardCopyOption.ATOMIC_MOVE);
  }

  @Override
  public void move(Path from, Path to) throws IOException {
    // Nobody but the owner of these folders writes there, so that looking first is enough.
    if (Files.exists(to, LinkOption.NOFOLLOW_LINKS)) {
      throw new FileAlreadyExistsException(to.toString());
    }
    try {
      Files.move(from, to, StandardCopyOption.ATOMIC_MOVE);
    } catch (AtomicMoveNotSupportedException e) {
      Path copy = to.resolveSibling("." + to.getFileName() + ".part");
      Files.copy(from, copy, StandardCopyOption.REPLACE_EXISTING, LinkOption.NOFOLLOW_LINKS);
      if (Files.isRegularFile(copy, LinkOption.NOFOLLOW_LINKS)) {
        try (FileChannel channel = FileChannel.open(copy, StandardOpenOption.WRITE)) {
          channel.force(true);
        }
      }
      replace(copy, to);
      Files.delete(from);
    }
  }

  @Override
  public void delete(Path file) throws IOException {
    Files.deleteIfExists(file);
  }

  @Override
  public void force(Path folder) throws IOException {
    if (FOLDERS_CAN_BE_FORCED) {
      try (FileChannel channel = FileChannel.open(folder, StandardOpenOption.READ)) {
        channel.force(true);
      }
    }
  }
}
