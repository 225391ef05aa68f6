package org.kerftally.daemon.conformance;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.shared.length.Length;

/** Names the keys of a station's configuration, as they stand in its file. */
public final class SignalKeys {

  private static final int COUNT_DIGITS = 6;

  private final WiringConfig wiring;
  private final String link;

  /** Names the keys of one station. */
  public SignalKeys(StationConfig station) {
    wiring = station.link().wiring();
    link = station.link() instanceof MqttLinkConfig ? "link.mqtt." : "link.opcua.";
  }

  /** Returns where a signal is mapped, or would be. */
  public String of(Signal signal) {
    return link + "signals." + signal.contractName();
  }

  /** Returns where the position is written, or how it is sent. */
  public String written() {
    return wiring.move().how() == MoveConfig.How.CONTRACT
        ? link + "move (none is mapped: positions go out in mm)"
        : link + "move." + writtenName();
  }

  /** Returns where the handshake is. */
  public String move() {
    return wiring.move().how() == MoveConfig.How.CONTRACT
        ? link + (link.endsWith("opcua.") ? "nodes.MoveAbsolute" : "topics")
        : link + "move";
  }

  private String writtenName() {
    return wiring.move().how() == MoveConfig.How.MESSAGE ? "command" : "position";
  }

  private @Nullable PointConfig writtenPoint() {
    return wiring.move().pointOrNull(writtenName());
  }

  /** Returns what the device is sent for a position, in its own units. */
  public String sent(Length position) {
    return raw(writtenPoint(), position);
  }

  /** Returns what the device says at a position, in its own units. */
  public String said(Length position) {
    return raw(wiring.signals().get(Signal.POSITION_ACTUAL_VALUE), position);
  }

  private static String raw(@Nullable PointConfig point, Length position) {
    if (point == null || (point.unit() == null && !point.reversed())) {
      return Figures.mm(position);
    }
    Length unit = point.unit() == null ? Length.ofMm(1) : point.unit();
    BigDecimal count =
        BigDecimal.valueOf(position.nm())
            .divide(BigDecimal.valueOf(unit.nm()), COUNT_DIGITS, RoundingMode.HALF_EVEN);
    BigDecimal turned = point.reversed() ? count.negate() : count;
    String text = turned.signum() == 0 ? "0" : turned.stripTrailingZeros().toPlainString();
    return text + " (units of " + unit + (point.reversed() ? ", reversed)" : ")");
  }

  /** Returns what does not match between the position read and the one written, or nothing. */
  public @Nullable String mismatch() {
    PointConfig read = wiring.signals().get(Signal.POSITION_ACTUAL_VALUE);
    PointConfig written = writtenPoint();
    if (read == null || written == null) {
      return null;
    }
    boolean same = unit(read).equals(unit(written)) && read.reversed() == written.reversed();
    return same
        ? null
        : "the position is read in units of "
            + words(read)
            + " ("
            + of(Signal.POSITION_ACTUAL_VALUE)
            + ") and written in units of "
            + words(written)
            + " ("
            + written()
            + "). They are nearly always the same: where they are not, the stop may go far.";
  }

  private static Length unit(PointConfig point) {
    Length unit = point.unit();
    return unit == null ? Length.ofMm(1) : unit;
  }

  private static String words(PointConfig point) {
    return unit(point) + (point.reversed() ? ", reversed" : "");
  }
}
