package org.kerftally.daemon.cutlog;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Keeps beside a cut log how far it was acknowledged, in {@code kerftally.db-seal}.
 *
 * <p>Why it is needed. A log whose end was cut off, because its write-ahead log was deleted, cut
 * short or damaged, or because an older copy took its place, is whole in itself: nothing in it
 * tells that there was more. So the id and the digest of the last event stand in a file of their
 * own, and a log that ends before them, or has another event there, is refused.
 *
 * <pre>
 *  byte 0     slot for even ids   "kerftally-seal 1 ID DIGEST FILE CHECK", spaces, a line feed
 *  byte 512   slot for odd ids    the same
 * </pre>
 *
 * <p>FILE is a digest of the whole database file as it was closed in good order, or a dash while it
 * is open: a file that still has it is as it was left, byte for byte, and need not be looked over
 * event by event. CHECK is the start of a SHA-256 over the words before it. Of the two slots the
 * valid one with the higher id counts, so a write that is torn leaves the one before. The file is
 * written over in place after each commit and not forced then, which costs microseconds: what the
 * process wrote outlives a kill. After a power failure it may be older than the log, never newer,
 * for the commit was forced before. An older seal is no finding.
 *
 * <p>A seal that cannot be written makes nothing undone and is tried again with the next commit.
 * For one thread, but {@link #trouble} for any.
 */
final class Seal implements AutoCloseable {

  private static final String OPEN = "-";
  private static final int SLOT_BYTES = 512;
  private static final int CHECK_CHARS = 16;
  private static final int CHUNK_BYTES = 1 << 16;
  private static final Pattern SLOT =
      Pattern.compile(
          "(kerftally-seal 1 ([0-9]{1,18}) ([0-9a-f]{32}) (-|[0-9a-f]{64})) ([0-9a-f]{16}) *\\n");

  private final Path file;
  private @Nullable FileChannel channel;
  private volatile @Nullable String trouble;

  /**
   * Says how far a log was acknowledged.
   *
   * @param id the last event's id
   * @param digest its digest
   */
  record Mark(long id, String digest) {}

  /**
   * Says what the file beside a log tells.
   *
   * @param mark how far the log was acknowledged, or {@code null} when that is not known
   * @param wholeFile the digest of the file as it was closed, or {@code null} when it was not
   * @param trouble why it is not known, or {@code null} when it is or there is no such file
   */
  record Told(@Nullable Mark mark, @Nullable String wholeFile, @Nullable String trouble) {}

  private Seal(Path file) {
    this.file = file;
  }

  /** Returns the file beside a log. */
  static Path beside(Path db) {
    return db.resolveSibling(db.getFileName() + "-seal");
  }

  /** Reads what stands beside a log; changes nothing. */
  static Told read(Path db) {
    byte[] bytes;
    try {
      bytes = Files.readAllBytes(beside(db));
    } catch (NoSuchFileException e) {
      return new Told(null, null, null);
    } catch (IOException e) {
      return new Told(null, null, beside(db) + " cannot be read: " + e.getMessage());
    }
    Told even = slot(bytes, 0);
    Told odd = slot(bytes, SLOT_BYTES);
    if (odd != null) {
      return even != null && id(even) > id(odd) ? even : odd;
    }
    return even != null ? even : new Told(null, null, beside(db) + " is damaged");
  }

  private static long id(Told slot) {
    Mark mark = slot.mark();
    return mark == null ? -1 : mark.id();
  }

  private static @Nullable Told slot(byte[] bytes, int at) {
    if (bytes.length < at + SLOT_BYTES) {
      return null;
    }
    String text = new String(bytes, at, SLOT_BYTES, StandardCharsets.ISO_8859_1);
    Matcher words = SLOT.matcher(text);
    if (!words.matches() || !check(words.group(1)).equals(words.group(5))) {
      return null;
    }
    String whole = words.group(4).equals(OPEN) ? null : words.group(4);
    return new Told(new Mark(Long.parseLong(words.group(2)), words.group(3)), whole, null);
  }

  private static String check(String words) {
    byte[] digest = Chain.sha256().digest(words.getBytes(StandardCharsets.ISO_8859_1));
    return HexFormat.of().formatHex(digest, 0, CHECK_CHARS / 2);
  }

  private static ByteBuffer text(Mark mark, String wholeFile) {
    String words = "kerftally-seal 1 " + mark.id() + ' ' + mark.digest() + ' ' + wholeFile;
    byte[] bytes = new byte[SLOT_BYTES];
    Arrays.fill(bytes, (byte) ' ');
    byte[] line = (words + ' ' + check(words)).getBytes(StandardCharsets.ISO_8859_1);
    System.arraycopy(line, 0, bytes, 0, line.length);
    bytes[SLOT_BYTES - 1] = '\n';
    return ByteBuffer.wrap(bytes);
  }

  /**
   * Begins to seal a log, and forces both slots to the disk.
   *
   * @param db the log
   * @param mark how far it is acknowledged
   */
  static Seal begin(Path db, Mark mark) {
    Seal seal = new Seal(beside(db));
    try {
      FileChannel open = seal.open();
      write(open, 0, mark, OPEN);
      write(open, SLOT_BYTES, mark, OPEN);
      open.force(true);
    } catch (IOException e) {
      seal.fail(e);
    }
    return seal;
  }

  /**
   * Notes that the log was closed in good order, with the digest of its file, unless another
   * program still holds its write-ahead log.
   */
  void finish(Path db, Mark mark) {
    if (channel == null || Database.sizeOf(Database.beside(db, "-wal")) > 0) {
      return;
    }
    try {
      String whole = digestOf(db);
      FileChannel open = open();
      write(open, 0, mark, whole);
      write(open, SLOT_BYTES, mark, whole);
    } catch (IOException e) {
      fail(e);
    }
  }

  /** Tells whether a file is, byte for byte, as it was closed. */
  static boolean isAsClosed(Path db, Told told) {
    if (told.wholeFile() == null || Database.sizeOf(Database.beside(db, "-wal")) > 0) {
      return false;
    }
    try {
      return told.wholeFile().equals(digestOf(db));
    } catch (IOException e) {
      return false;
    }
  }

  private static String digestOf(Path file) throws IOException {
    MessageDigest sha = Chain.sha256();
    byte[] chunk = new byte[CHUNK_BYTES];
    try (InputStream in = Files.newInputStream(file)) {
      for (int length = in.read(chunk); length >= 0; length = in.read(chunk)) {
        sha.update(chunk, 0, length);
      }
    }
    return HexFormat.of().formatHex(sha.digest());
  }

  /** Notes how far the log is acknowledged now. */
  void write(Mark mark) {
    try {
      write(open(), mark.id() % 2 == 0 ? 0 : SLOT_BYTES, mark, OPEN);
      trouble = null;
    } catch (IOException e) {
      fail(e);
    }
  }

  private FileChannel open() throws IOException {
    FileChannel open = channel;
    if (open == null) {
      open = FileChannel.open(file, StandardOpenOption.CREATE, StandardOpenOption.WRITE);
      channel = open;
    }
    return open;
  }

  private static void write(FileChannel open, int at, Mark mark, String wholeFile)
      throws IOException {
    ByteBuffer text = text(mark, wholeFile);
    while (text.hasRemaining()) {
      open.write(text, at + text.position());
    }
  }

  private void fail(IOException e) {
    trouble = file + " cannot be written: " + e.getMessage();
    closeChannel();
  }

  /** Returns why the seal is behind the log, or {@code null} when it is not. */
  @Nullable String trouble() {
    return trouble;
  }

  private void closeChannel() {
    FileChannel open = channel;
    channel = null;
    if (open != null) {
      try {
        open.close();
      } catch (IOException e) {
        // What was written is written; the next write opens the file anew.
      }
    }
  }

  /** Forces what was written and closes the file. */
  @Override
  public void close() {
    FileChannel open = channel;
    if (open != null) {
      try {
        open.force(true);
      } catch (IOException e) {
        // An older seal is no finding.
      }
    }
    closeChannel();
  }
}
