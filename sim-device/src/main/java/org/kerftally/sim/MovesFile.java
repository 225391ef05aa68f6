package org.kerftally.sim;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.time.format.DateTimeFormatter;
import java.time.format.DateTimeFormatterBuilder;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Appends when the machine was powered up, what was pressed at it and where the stop set out for,
 * in the order it happened and before it shows: what tells afterwards whether somebody had
 * acknowledged before a move.
 *
 * <pre>
 * boot,what,number,position_mm,at
 * 9f86d081884c7d65,power-up,0,,2027-03-01T09:15:02.117Z
 * 9f86d081884c7d65,acknowledge,1,,2027-03-01T09:15:09.480Z
 * 9f86d081884c7d65,move,17,505,2027-03-01T09:15:09.530Z
 * </pre>
 *
 * <p>The number is the total of presses, or the target's sequence number. Lines are not forced to
 * the disk: they are held against what a killed process did, and such lines outlast their process.
 *
 * <p>Threading: one owner.
 */
final class MovesFile implements AutoCloseable {

  private static final DateTimeFormatter AT =
      new DateTimeFormatterBuilder().appendInstant(3).toFormatter();

  private final Path file;
  private final FileChannel channel;

  private MovesFile(Path file, FileChannel channel) {
    this.file = file;
    this.channel = channel;
  }

  /**
   * Opens the file for appending, and makes it when it is not there.
   *
   * @throws UncheckedIOException when it cannot be opened
   */
  static MovesFile open(Path file) {
    try {
      return new MovesFile(
          file, FileChannel.open(file, StandardOpenOption.CREATE, StandardOpenOption.APPEND));
    } catch (IOException e) {
      throw new UncheckedIOException("cannot open the moves file " + file + ": " + e, e);
    }
  }

  void powerUp(String boot, Instant at) {
    append(boot, "power-up", 0, null, at);
  }

  void pressed(String boot, Button button, long total, Instant at) {
    append(boot, button.name().toLowerCase(Locale.ROOT).replace('_', '-'), total, null, at);
  }

  void begun(String boot, long seq, Length to, Instant at) {
    append(boot, "move", seq, to, at);
  }

  private void append(String boot, String what, long number, @Nullable Length to, Instant at) {
    String position = to == null ? "" : to.toMm().toPlainString();
    String line =
        String.join(",", boot, what, Long.toString(number), position, AT.format(at)) + "\n";
    ByteBuffer bytes = ByteBuffer.wrap(line.getBytes(StandardCharsets.UTF_8));
    try {
      while (bytes.hasRemaining()) {
        channel.write(bytes);
      }
    } catch (IOException e) {
      throw new UncheckedIOException("cannot write the moves file " + file + ": " + e, e);
    }
  }

  @Override
  public void close() {
    try {
      channel.close();
    } catch (IOException e) {
      throw new UncheckedIOException("cannot close the moves file " + file + ": " + e, e);
    }
  }
}
