package org.kerftally.sim;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import org.kerftally.shared.device.LastCut;

/**
 * Appends what really happened, one line a counted cycle, on disk before anything is reported.
 *
 * <pre>
 * boot,count,seq,position_mm,at
 * 9f86d081884c7d65,12,17,505.02,2027-03-01T09:15:02.117Z
 * </pre>
 *
 * <p>There is no header line. Threading: the device's thread alone.
 */
final class Truth implements AutoCloseable {
  private final FileChannel channel;

  private Truth(FileChannel channel) {
    this.channel = channel;
  }

  static Truth open(Path file) {
    try {
      return new Truth(
          FileChannel.open(
              file,
              StandardOpenOption.CREATE,
              StandardOpenOption.WRITE,
              StandardOpenOption.APPEND));
    } catch (IOException e) {
      throw new UncheckedIOException("cannot open " + file, e);
    }
  }

  void append(LastCut cut) {
    String line =
        String.join(
                ",",
                cut.boot(),
                Long.toString(cut.count()),
                Long.toString(cut.seq()),
                cut.position().toMm().toPlainString(),
                String.valueOf(cut.at()))
            + "\n";
    try {
      ByteBuffer bytes = ByteBuffer.wrap(line.getBytes(StandardCharsets.UTF_8));
      while (bytes.hasRemaining()) {
        channel.write(bytes);
      }
      channel.force(true);
    } catch (IOException e) {
      throw new UncheckedIOException("cannot write the truth", e);
    }
  }

  @Override
  public void close() {
    try {
      channel.close();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
