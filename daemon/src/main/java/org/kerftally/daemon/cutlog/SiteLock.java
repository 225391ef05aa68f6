package org.kerftally.daemon.cutlog;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;

/**
 * Holds a site's folder for this process: two instances would each send targets to the same stop.
 *
 * <p>The lock is the operating system's on the file {@code kerftally.lock}, so it ends with the
 * process however that ends. The file holds the process id for people and stays when released:
 * deleting it would let two processes lock two files of one name.
 */
public final class SiteLock implements AutoCloseable {

  /** The lock file's name in a site's folder. */
  public static final String FILE_NAME = "kerftally.lock";

  /** Which byte is locked: beyond the text, which can so be read where locks are mandatory. */
  private static final long LOCKED_BYTE = 1L << 30;

  private static final int MAX_TEXT_BYTES = 64;

  /**
   * The lock files held by this process. A second channel on such a file must not even be opened:
   * where locks belong to the process, closing it lets the first one's lock go.
   */
  private static final Set<Path> HELD_HERE = ConcurrentHashMap.newKeySet();

  private final Path file;
  private final FileChannel channel;

  private SiteLock(Path file, FileChannel channel) {
    this.file = file;
    this.channel = channel;
  }

  /**
   * Takes the folder.
   *
   * @param folder the site's folder, which exists
   * @throws SiteHeldException when another instance holds it; the text names its process
   * @throws UncheckedIOException when the lock file cannot be made or written
   */
  public static SiteLock acquire(Path folder) throws SiteHeldException {
    Path file;
    try {
      file = folder.toRealPath().resolve(FILE_NAME);
    } catch (IOException e) {
      throw new UncheckedIOException("cannot lock the folder " + folder + ": it is not there", e);
    }
    if (!HELD_HERE.add(file)) {
      throw held(folder, Long.toString(ProcessHandle.current().pid()));
    }
    boolean taken = false;
    try {
      SiteLock lock = lock(folder, file);
      taken = true;
      return lock;
    } finally {
      if (!taken) {
        HELD_HERE.remove(file);
      }
    }
  }

  /**
   * Tells who holds a folder, without taking it.
   *
   * @return the process id, the empty text when it is held by an unknown process, or {@code null}
   *     when nobody holds it or that cannot be told
   */
  public static @Nullable String holder(Path folder) {
    try {
      Path file = folder.toRealPath().resolve(FILE_NAME);
      if (HELD_HERE.contains(file)) {
        return Long.toString(ProcessHandle.current().pid());
      }
      try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ);
          FileLock lock = channel.tryLock(LOCKED_BYTE, 1, true)) {
        return lock == null ? text(channel) : null;
      }
    } catch (IOException e) {
      return null;
    }
  }

  private static SiteLock lock(Path folder, Path file) throws SiteHeldException {
    FileChannel channel = null;
    boolean taken = false;
    try {
      channel =
          FileChannel.open(
              file, StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE);
      FileLock lock = channel.tryLock(LOCKED_BYTE, 1, false);
      if (lock == null) {
        throw held(folder, text(channel));
      }
      byte[] pid = (ProcessHandle.current().pid() + "\n").getBytes(StandardCharsets.US_ASCII);
      channel.truncate(0);
      channel.write(ByteBuffer.wrap(pid), 0);
      taken = true;
      return new SiteLock(file, channel);
    } catch (IOException e) {
      throw new UncheckedIOException("cannot lock " + file + ": " + e.getMessage(), e);
    } finally {
      if (!taken) {
        closeQuietly(channel);
      }
    }
  }

  private static SiteHeldException held(Path folder, String holder) {
    return new SiteHeldException(
        "another instance"
            + (holder.isEmpty() ? "" : " (process " + holder + ")")
            + " holds "
            + folder
            + ". Stop it first, or name another folder.");
  }

  private static String text(FileChannel channel) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(MAX_TEXT_BYTES);
    int length = channel.read(bytes, 0);
    String text = new String(bytes.array(), 0, Math.max(length, 0), StandardCharsets.US_ASCII);
    return text.strip().replaceAll("[^0-9]", "");
  }

  private static void closeQuietly(@Nullable FileChannel channel) {
    try {
      if (channel != null) {
        channel.close();
      }
    } catch (IOException e) {
      // The error that led here is the one to tell.
    }
  }

  /** Lets the folder go; safe to call again. */
  @Override
  public void close() {
    if (channel.isOpen()) {
      closeQuietly(channel);
      HELD_HERE.remove(file);
    }
  }
}
