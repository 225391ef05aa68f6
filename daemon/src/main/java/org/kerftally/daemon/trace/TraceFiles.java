package org.kerftally.daemon.trace;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.regex.Pattern;
import java.util.stream.Stream;

/**
 * Names the files of a station's trace, {@code STATION-20261128T112233.117Z.trace.jsonl}, and keeps
 * the newest of them. A name is always later than those before it, so they sort in their order.
 */
final class TraceFiles {

  /** How many files of a station are kept, the one that is written among them. */
  static final int KEPT = 8;

  private static final String SUFFIX = ".trace.jsonl";
  private static final int MOST_TRIES = 1_000;
  private static final DateTimeFormatter STAMP =
      DateTimeFormatter.ofPattern("uuuuMMdd'T'HHmmss.SSS'Z'", Locale.ROOT).withZone(ZoneOffset.UTC);

  /** Makes a file that is not there yet. */
  interface Disk {
    OutputStream create(Path file) throws IOException;
  }

  static final Disk DISK =
      file -> Files.newOutputStream(file, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);

  /** A file that was just made. */
  record Opened(Path file, OutputStream out) {}

  private final Path folder;
  private final String station;
  private final Disk disk;
  private final Pattern mine;

  TraceFiles(Path folder, String station, Disk disk) {
    this.folder = folder;
    this.station = station;
    this.disk = disk;
    this.mine =
        Pattern.compile(
            Pattern.quote(station + "-") + "\\d{8}T\\d{6}\\.\\d{3}Z" + Pattern.quote(SUFFIX));
  }

  /** Makes the next file and removes the oldest. */
  Opened next(Instant now) throws IOException {
    Files.createDirectories(folder);
    List<Path> old = mine();
    for (Path file : old.subList(0, Math.max(0, old.size() - (KEPT - 1)))) {
      Files.deleteIfExists(file);
    }
    Instant stamp = old.isEmpty() ? now : later(now, old.get(old.size() - 1));
    for (int tries = 0; ; tries++) {
      Path file = folder.resolve(station + "-" + STAMP.format(stamp.plusMillis(tries)) + SUFFIX);
      try {
        return new Opened(file, disk.create(file));
      } catch (FileAlreadyExistsException e) {
        if (tries >= MOST_TRIES) {
          throw e;
        }
      }
    }
  }

  private List<Path> mine() throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      return files
          .filter(f -> mine.matcher(f.getFileName().toString()).matches())
          .sorted()
          .toList();
    }
  }

  /** A clock that was set back must not make the newest file the first to go. */
  private Instant later(Instant now, Path newest) {
    String name = newest.getFileName().toString();
    String stamp = name.substring(station.length() + 1, name.length() - SUFFIX.length());
    try {
      Instant after = STAMP.parse(stamp, Instant::from).plusMillis(1);
      return after.isAfter(now) ? after : now;
    } catch (DateTimeException e) {
      // No date, such as month 13: not a file of ours.
      return now;
    }
  }
}
