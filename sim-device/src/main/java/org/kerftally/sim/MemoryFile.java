package org.kerftally.sim;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.problem.Problem;

/**
 * Keeps the machine's non-volatile memory in a file of one or two lines: the power-up and the
 * count, then the last cut as a {@link CutLine} if there is one.
 *
 * <pre>
 * 9f86d081884c7d65,12
 * 9f86d081884c7d65,12,17,505.02,2027-03-01T09:15:02.117Z
 * </pre>
 *
 * <p>It is replaced whole: written beside, forced, moved over the old one in one step, and the
 * folder forced. A crash leaves the old content or the new one. Threading: one owner.
 */
final class MemoryFile {
  private static final int MAX_BYTES = 1024;
  private static final Pattern HEAD = Pattern.compile("([^,\\s]{1,64}),(\\d{1,18})");

  private final Path file;

  MemoryFile(Path file) {
    this.file = file.toAbsolutePath();
  }

  /**
   * Returns what is remembered, {@link NonVolatile#EMPTY} when there is no file yet.
   *
   * @throws SimInputException when the file is something else
   * @throws UncheckedIOException when it cannot be read
   */
  NonVolatile read() {
    try {
      if (Files.size(file) > MAX_BYTES) {
        throw foreign();
      }
      NonVolatile memory = parse(Files.readString(file, StandardCharsets.ISO_8859_1));
      if (memory == null) {
        throw foreign();
      }
      return memory;
    } catch (NoSuchFileException e) {
      return NonVolatile.EMPTY;
    } catch (IOException e) {
      throw new UncheckedIOException("cannot read the memory file " + file + ": " + e, e);
    }
  }

  private SimInputException foreign() {
    return new SimInputException(
        List.of(
            new Problem(
                file.toString(),
                0,
                null,
                "not a memory of the simulated device (boot,count and the last cut)",
                "Name another --memory file, or remove this one to start from nothing.")));
  }

  private static @Nullable NonVolatile parse(String text) {
    List<String> lines = text.lines().toList();
    if (lines.isEmpty() || lines.size() > 2) {
      return null;
    }
    var head = HEAD.matcher(lines.get(0));
    if (!head.matches()) {
      return null;
    }
    long count = Long.parseLong(head.group(2));
    if (lines.size() == 1) {
      return count == 0 ? new NonVolatile(head.group(1), 0, null) : null;
    }
    LastCut last = CutLine.parse(lines.get(1));
    return last == null || last.count() != count
        ? null
        : new NonVolatile(head.group(1), count, last);
  }

  /**
   * Replaces what is remembered.
   *
   * @throws UncheckedIOException when the disk refuses; the old content is still there then
   */
  void write(NonVolatile memory) {
    LastCut last = memory.lastCut();
    String text =
        memory.boot()
            + ","
            + memory.count()
            + "\n"
            + (last == null ? "" : CutLine.format(last) + "\n");
    Path beside = file.resolveSibling(file.getFileName() + ".new");
    try {
      try (FileChannel channel =
          FileChannel.open(
              beside,
              StandardOpenOption.CREATE,
              StandardOpenOption.TRUNCATE_EXISTING,
              StandardOpenOption.WRITE)) {
        ByteBuffer bytes = ByteBuffer.wrap(text.getBytes(StandardCharsets.UTF_8));
        while (bytes.hasRemaining()) {
          channel.write(bytes);
        }
        channel.force(true);
      }
      Files.move(beside, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
      forceFolder();
    } catch (IOException e) {
      throw new UncheckedIOException("cannot write the memory file " + file + ": " + e, e);
    }
  }

  private void forceFolder() throws IOException {
    Path folder = file.getParent();
    if (folder == null) {
      return;
    }
    try (FileChannel channel = FileChannel.open(folder, StandardOpenOption.READ)) {
      channel.force(true);
    } catch (IOException e) {
      if (!isWindows()) {
        throw e;
      }
    }
  }

  /** Windows cannot open a folder as a channel; its file system orders the move by itself. */
  private static boolean isWindows() {
    return java.io.File.separatorChar == '\\';
  }
}
