package org.kerftally.daemon.results;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.Arrays;
import java.util.Objects;

/**
 * Replaces whole files so that a reader, or a crash, sees the old content or the new, never a
 * mixture.
 *
 * <p>The new content is written to {@code .NAME.new} beside the file and forced to disk, then moved
 * over it in one step; then the folder is forced, since the move is an entry there. The name beside
 * it is always the same, so that a crash leaves one such file at the most, and the next write takes
 * it over. One thread at a time may replace a file.
 */
public final class AtomicFile {

  /** The steps on the disk that a replacement is made of; a test lets each of them fail. */
  public interface Steps {

    /** Reads a file whole. */
    byte[] read(Path file) throws IOException;

    /** Writes a file, over what is there, and forces it to the disk. */
    void write(Path file, byte[] content) throws IOException;

    /** Gives a file another name in its folder, over what is there, in one step. */
    void move(Path from, Path to) throws IOException;

    /** Forces a folder's entries, where the system lets a folder be opened: Windows does not. */
    void force(Path folder) throws IOException;
  }

  /** The steps on the real disk. */
  public static final Steps DISK = new Disk();

  private AtomicFile() {}

  /**
   * Replaces a file, making its folder when there is none.
   *
   * @throws IOException when anything fails; the old file is then still there
   */
  public static void replace(Path file, byte[] content) throws IOException {
    replace(DISK, file, content);
  }

  private static void replace(Steps steps, Path file, byte[] content) throws IOException {
    Path folder = Objects.requireNonNull(file.toAbsolutePath().getParent(), "a file in a folder");
    if (!Files.isDirectory(folder)) {
      Files.createDirectories(folder);
    }
    Path beside = folder.resolve("." + file.getFileName() + ".new");
    try {
      steps.write(beside, content);
    } catch (IOException e) {
      dropQuietly(beside, e);
      throw e;
    }
    steps.move(beside, file);
    steps.force(folder);
  }

  /**
   * Replaces a file unless it has this content already.
   *
   * @return whether it was replaced
   * @throws IOException when anything fails; the old file is then still there
   */
  public static boolean replaceIfDifferent(Path file, byte[] content) throws IOException {
    return replaceIfDifferent(DISK, file, content);
  }

  static boolean replaceIfDifferent(Steps steps, Path file, byte[] content) throws IOException {
    if (Files.isRegularFile(file)
        && Files.size(file) == content.length
        && Arrays.equals(steps.read(file), content)) {
      return false;
    }
    replace(steps, file, content);
    return true;
  }

  private static void dropQuietly(Path beside, IOException reason) {
    try {
      Files.deleteIfExists(beside);
    } catch (IOException e) {
      reason.addSuppressed(e);
    }
  }

  private static final class Disk implements Steps {

    @Override
    public byte[] read(Path file) throws IOException {
      return Files.readAllBytes(file);
    }

    @Override
    public void write(Path file, byte[] content) throws IOException {
      try (FileChannel channel =
          FileChannel.open(
              file,
              StandardOpenOption.CREATE,
              StandardOpenOption.WRITE,
              StandardOpenOption.TRUNCATE_EXISTING)) {
        ByteBuffer bytes = ByteBuffer.wrap(content);
        while (bytes.hasRemaining()) {
          channel.write(bytes);
        }
        channel.force(true);
      }
    }

    @Override
    public void move(Path from, Path to) throws IOException {
      Files.move(from, to, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    }

    @Override
    public void force(Path folder) throws IOException {
      FileChannel channel;
      try {
        channel = FileChannel.open(folder, StandardOpenOption.READ);
      } catch (IOException e) {
        return;
      }
      try (channel) {
        channel.force(true);
      }
    }
  }
}
