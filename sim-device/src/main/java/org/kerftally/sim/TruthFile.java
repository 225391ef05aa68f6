package org.kerftally.sim;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.problem.Problem;

/**
 * Appends what really happened, one {@link CutLine} a counted cycle, on disk before anything else
 * shows it. There is no header line, so files of several runs can be strung together.
 *
 * <p>A line without its end is what a crash left of a line that was never reported: opening cuts it
 * off. A last line that is whole but no cut is refused, for then the file is something else.
 *
 * <p>Threading: one owner.
 */
final class TruthFile implements AutoCloseable {

  /** The end of the file that is looked at for the last line: more than any line is long. */
  private static final int TAIL_BYTES = 4096;

  /** What a crash can leave of a line. */
  private static final Pattern TORN =
      Pattern.compile("[0-9a-f]{0,64}(,\\d*(,\\d*(,[-0-9.]*(,[-0-9TZ:.]*)?)?)?)?");

  private final Path file;
  private final FileChannel channel;
  private final @Nullable LastCut last;

  private TruthFile(Path file, FileChannel channel, @Nullable LastCut last) {
    this.file = file;
    this.channel = channel;
    this.last = last;
  }

  /**
   * Opens the file for appending, and makes it when it is not there.
   *
   * @throws SimInputException when it holds something else than cuts
   * @throws UncheckedIOException when it cannot be opened
   */
  static TruthFile open(Path file) {
    try {
      FileChannel channel =
          FileChannel.open(
              file, StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE);
      try {
        return new TruthFile(file, channel, repair(file, channel));
      } catch (IOException | RuntimeException e) {
        channel.close();
        throw e;
      }
    } catch (IOException e) {
      throw new UncheckedIOException("cannot open the truth file " + file + ": " + e, e);
    }
  }

  /** Cuts a torn line off, goes to the end, and returns the last cut. */
  private static @Nullable LastCut repair(Path file, FileChannel channel) throws IOException {
    long size = channel.size();
    long start = Math.max(0, size - TAIL_BYTES);
    ByteBuffer tail = ByteBuffer.allocate((int) (size - start));
    while (tail.hasRemaining() && channel.read(tail, start + tail.position()) >= 0) {}
    // Not decoded: offsets in the text must be offsets in the file.
    String text = new String(tail.array(), StandardCharsets.ISO_8859_1);
    int end = text.lastIndexOf('\n') + 1;
    int begin = end == 0 ? 0 : text.lastIndexOf('\n', end - 2) + 1;
    LastCut last = end == 0 ? null : CutLine.parse(text.substring(begin, end - 1).strip());
    boolean foreign = (end > 0 && last == null) || !TORN.matcher(text.substring(end)).matches();
    if (foreign) {
      throw new SimInputException(
          List.of(
              new Problem(
                  file.toString(),
                  0,
                  null,
                  "the last line is not a cut (boot,count,seq,position_mm,at)",
                  "Name another --truth file.")));
    }
    if (start + end < size) {
      channel.truncate(start + end);
      channel.force(true);
    }
    channel.position(start + end);
    return last;
  }

  /** Returns the last cut that was in the file when it was opened, {@code null} for none. */
  @Nullable LastCut last() {
    return last;
  }

  /**
   * Appends a cut and forces it to the disk.
   *
   * @throws UncheckedIOException when the disk refuses; the line may be torn then
   */
  void append(LastCut cut) {
    ByteBuffer bytes =
        ByteBuffer.wrap((CutLine.format(cut) + "\n").getBytes(StandardCharsets.UTF_8));
    try {
      while (bytes.hasRemaining()) {
        channel.write(bytes);
      }
      channel.force(false);
    } catch (IOException e) {
      throw new UncheckedIOException("cannot write the truth file " + file + ": " + e, e);
    }
  }

  @Override
  public void close() {
    try {
      channel.close();
    } catch (IOException e) {
      throw new UncheckedIOException("cannot close the truth file " + file + ": " + e, e);
    }
  }
}
