package org.kerftally.daemon.cli.demo;

import java.io.IOException;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.LongUnaryOperator;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.length.Length;

/**
 * Holds a station's cut log against what the simulated device wrote down before it reported
 * anything: every saw cycle booked once, in its own boot and count, and each part and squaring cut
 * with its own target and position.
 */
public final class TruthCheck {

  /** Positions pass through a double on the way: a micrometre is far below any saw. */
  private static final Length SAME_POSITION = Length.ofNm(1_000);

  /**
   * Says how log and truth compare.
   *
   * @param cycles the saw cycles there really were
   * @param booked the saw cycles in the log
   * @param differences every one that does not agree, in words
   */
  public record Verdict(int cycles, int booked, List<String> differences) {

    /** Copies the list. */
    public Verdict {
      differences = List.copyOf(differences);
    }

    /** Tells whether log and truth agree cut by cut. */
    public boolean agrees() {
      return differences.isEmpty();
    }
  }

  private record Cycle(long seq, Length position) {}

  private TruthCheck() {}

  /**
   * Compares.
   *
   * @param log the cut log
   * @param station the station's name
   * @param truth the device's file, lines {@code boot,count,seq,position_mm,at}
   * @throws IOException when the truth cannot be read
   */
  public static Verdict compare(CutLog log, String station, Path truth) throws IOException {
    return compare(log, station, truth, number -> number);
  }

  /**
   * Compares where the device numbers its moves in another way than the station its targets.
   *
   * @param target gives the station's number for a device's
   */
  public static Verdict compare(CutLog log, String station, Path truth, LongUnaryOperator target)
      throws IOException {
    Map<String, Cycle> real = read(truth, target);
    List<String> differences = new ArrayList<>();
    Map<String, CutBooked> booked = new LinkedHashMap<>();
    log.replay(
        recorded -> {
          if (station.equals(recorded.station()) && recorded.event() instanceof CutBooked cut) {
            String key = cut.boot() + " #" + cut.count();
            if (booked.put(key, cut) != null) {
              differences.add(key + " is booked twice");
            }
          }
        });
    real.forEach(
        (key, cycle) -> {
          CutBooked cut = booked.get(key);
          if (cut == null) {
            differences.add(key + " was cut and is not in the log");
          } else if (!agree(cycle, cut)) {
            differences.add(
                key
                    + " was cut at "
                    + cycle.position()
                    + " for target "
                    + cycle.seq()
                    + ", the log says "
                    + cut.position()
                    + " for target "
                    + cut.seq());
          }
        });
    booked.keySet().stream()
        .filter(key -> !real.containsKey(key))
        .forEach(key -> differences.add(key + " is in the log and was never cut"));
    return new Verdict(real.size(), booked.size(), differences);
  }

  private static boolean agree(Cycle cycle, CutBooked cut) {
    if (cut.kind() == CutKind.UNATTRIBUTED || cut.position() == null) {
      return cut.kind() == CutKind.UNATTRIBUTED;
    }
    Length off = cut.position().minus(cycle.position()).abs();
    return cut.seq() == cycle.seq() && !off.isMoreThan(SAME_POSITION);
  }

  private static Map<String, Cycle> read(Path truth, LongUnaryOperator target) throws IOException {
    Map<String, Cycle> cycles = new LinkedHashMap<>();
    if (!Files.exists(truth)) {
      return cycles;
    }
    for (String line : Files.readAllLines(truth)) {
      String[] cells = line.split(",", -1);
      BigDecimal nm = new BigDecimal(cells[3]).movePointRight(6);
      Length position = Length.ofNm(nm.setScale(0, RoundingMode.HALF_EVEN).longValueExact());
      cycles.put(
          cells[0] + " #" + cells[1],
          new Cycle(target.applyAsLong(Long.parseLong(cells[2])), position));
    }
    return cycles;
  }
}
