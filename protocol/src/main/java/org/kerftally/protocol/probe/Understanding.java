package org.kerftally.protocol.probe;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.protocol.wiring.PointValues;
import org.kerftally.protocol.wiring.RawValue;
import org.kerftally.protocol.wiring.SignalFault;
import org.kerftally.protocol.wiring.Words;
import org.kerftally.shared.device.SawState;

/**
 * Says in words what Kerftally makes of one value, or what is wrong with it.
 *
 * @param text the value as Kerftally understands it, {@code null} with a fault
 * @param fault what is wrong and how to mend it, {@code null} for nothing
 */
public record Understanding(@Nullable String text, @Nullable String fault) {

  /** The points of handshakes that are flags; the others are shown as they are. */
  private static final Set<String> FLAGS =
      Set.of("echo", "error", "busy", "done", "command-aborted", "accepted");

  private static final int MAX_SHOWN_CHARS = 60;

  /**
   * Understands a signal.
   *
   * @param mend what to do where the value itself does not say it
   */
  public static Understanding of(Signal signal, PointConfig point, RawValue raw, String mend) {
    try {
      if (point.count() != null) {
        boolean flag = PointValues.flag(signal.contractName(), point, raw);
        return new Understanding(flag + ", edges counted", null);
      }
      RawValue contract = PointValues.contract(signal, point, raw);
      if (signal.kind() == Signal.Kind.STATE && !isNamed(point, raw)) {
        return new Understanding(null, unnamed(signal, point, raw));
      }
      return new Understanding(words(signal, contract.value()), null);
    } catch (SignalFault e) {
      return new Understanding(null, mended(e.reason(), mend));
    }
  }

  /** Understands a point of a handshake, by its own name. */
  public static Understanding ofMove(String name, PointConfig point, RawValue raw, String mend) {
    try {
      return FLAGS.contains(name)
          ? new Understanding(Boolean.toString(PointValues.flag("move." + name, point, raw)), null)
          : new Understanding(shown(raw), null);
    } catch (SignalFault e) {
      return new Understanding(null, mended(e.reason(), mend));
    }
  }

  /** Returns a value as the device says it, on one line and not long. */
  public static @Nullable String shown(RawValue raw) {
    return raw.value() == null ? null : Words.onOneLine(raw.value().toString(), MAX_SHOWN_CHARS);
  }

  /** Returns a fault that says what to do. */
  public static String mended(String reason, String mend) {
    return reason.contains("; check") || reason.contains(": check") ? reason : reason + "; " + mend;
  }

  private static boolean isNamed(PointConfig point, RawValue raw) {
    return point.values().isEmpty() || point.values().containsKey(said(point, raw));
  }

  private static String said(PointConfig point, RawValue raw) {
    Object value = raw.value();
    if (value instanceof Number number && point.mask() != null) {
      return Long.toString(number.longValue() & point.mask());
    }
    return String.valueOf(value).strip();
  }

  private static String unnamed(Signal signal, PointConfig point, RawValue raw) {
    String said = Words.brief(said(point, raw));
    List<String> pairs = new ArrayList<>();
    point.values().forEach((key, word) -> pairs.add(key + ": " + word));
    return "signal "
        + signal.contractName()
        + " ("
        + point.place().text()
        + ") is \""
        + said
        + "\", which `values` does not name, so no target would be sent; add what it means (idle,"
        + " guard-down, blade-out or unknown). Example: `values: { "
        + String.join(", ", pairs)
        + ", "
        + said
        + ": unknown }`";
  }

  private static String words(Signal signal, @Nullable Object value) {
    if (value == null) {
      return "none";
    }
    if (signal.kind() == Signal.Kind.STATE && value instanceof Number code) {
      SawState state = SawState.ofCode(code.longValue());
      return state.name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
    if (value instanceof Instant at) {
      return at.toString();
    }
    String text = Objects.toString(value);
    return text.isBlank() ? "none" : Words.onOneLine(text, MAX_SHOWN_CHARS);
  }
}
