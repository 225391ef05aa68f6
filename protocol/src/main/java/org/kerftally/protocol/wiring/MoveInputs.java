package org.kerftally.protocol.wiring;

import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.PointConfig;

/**
 * Holds what one reading said of a handshake.
 *
 * @param move how the device is told to move
 * @param values one value for each point of the handshake that is read
 * @param activeSequence the number the device echoes, 0 for none
 */
public record MoveInputs(MoveConfig move, Map<String, RawValue> values, long activeSequence) {

  /** Copies the map. */
  public MoveInputs {
    values = Map.copyOf(values);
  }

  /** Returns a flag; {@code false} for a point the device does not have. */
  boolean flag(String name) throws SignalFault {
    PointConfig point = move.pointOrNull(name);
    RawValue raw = values.get(name);
    if (point == null) {
      return false;
    }
    if (raw == null) {
      throw new SignalFault("move." + name, "was not read");
    }
    return PointValues.flag("move." + name, point, raw);
  }

  /** Returns a whole number, or 0 where the device has none or it cannot be read yet. */
  long number(String name) throws SignalFault {
    PointConfig point = move.pointOrNull(name);
    RawValue raw = values.get(name);
    return point == null || raw == null || raw.value() == null
        ? 0
        : PointValues.number("move." + name, point, raw);
  }

  /** Returns a value in words, empty where the device has none. */
  String words(String name) {
    RawValue raw = values.get(name);
    Object value = raw == null ? null : raw.value();
    return value == null ? "" : Words.onOneLine(value.toString(), ContractReader.MAX_TEXT_CHARS);
  }

  /** Tells whether the device has this point. */
  boolean has(String name) {
    return move.pointOrNull(name) != null;
  }

  /** Returns where a point is, for people. */
  String where(String name) {
    PointConfig point = move.pointOrNull(name);
    return "move." + name + (point == null ? "" : " (" + point.place().text() + ")");
  }

  /** Returns the words of an error point, for a refusal. */
  String error(@Nullable String detail) {
    String code = detail == null ? "" : words(detail);
    return code.isEmpty() ? "" : " " + code;
  }
}
