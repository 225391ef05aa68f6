package org.kerftally.daemon.site;

import java.io.IOException;
import java.math.BigDecimal;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Holds what a device wrote down itself before it told anybody.
 *
 * @param cuts its saw cycles, in the order they happened
 * @param doings its power-ups, presses and moves, in the order they happened
 */
record DeviceTruth(List<TrueCut> cuts, List<Doing> doings) {

  /** Where the nanometres begin in decimal millimetres. */
  private static final int NM_DIGITS = 6;

  private static final int FIELDS = 5;

  /** One saw cycle: its key, the target the stop stood at, and where it stood. */
  record TrueCut(String boot, long count, long seq, Length position, Instant at) {
    String key() {
      return boot + " #" + count;
    }
  }

  /**
   * One power-up, press or move.
   *
   * @param number the total of such presses, or the target's sequence number
   * @param position where a move goes, else {@code null}
   */
  record Doing(String boot, String what, long number, @Nullable Length position, Instant at) {
    static final String POWER_UP = "power-up";
    static final String ACKNOWLEDGE = "acknowledge";
    static final String REJECTED = "rejected";
    static final String MOVE = "move";

    boolean is(String kind) {
      return what.equals(kind);
    }
  }

  /** Reads a device's files; a file that is not there yet is empty. */
  static DeviceTruth read(Path truth, Path moves) throws IOException {
    List<TrueCut> cuts =
        lines(truth)
            .map(
                f ->
                    new TrueCut(
                        f[0],
                        Long.parseLong(f[1]),
                        Long.parseLong(f[2]),
                        length(f[3]),
                        Instant.parse(f[4])))
            .toList();
    List<Doing> doings =
        lines(moves)
            .map(
                f ->
                    new Doing(
                        f[0],
                        f[1],
                        Long.parseLong(f[2]),
                        f[3].isEmpty() ? null : length(f[3]),
                        Instant.parse(f[4])))
            .toList();
    return new DeviceTruth(cuts, doings);
  }

  private static java.util.stream.Stream<String[]> lines(Path file) throws IOException {
    if (!Files.exists(file)) {
      return java.util.stream.Stream.empty();
    }
    String text = Files.readString(file);
    // A line without its end is being written, or was torn by a kill and never shown.
    String whole = text.substring(0, text.lastIndexOf('\n') + 1);
    return whole.lines().map(line -> line.split(",", FIELDS));
  }

  private static Length length(String millimetres) {
    return Length.ofNm(new BigDecimal(millimetres).movePointRight(NM_DIGITS).longValueExact());
  }
}
