package org.kerftally.config.wiring;

import java.util.Arrays;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * Says how a device is told to move.
 *
 * @param how the handshake
 * @param points what is written and read for it, by the handshake's own names
 * @param toggle whether a strobe is turned over for each target, rather than set and taken back
 */
public record MoveConfig(How how, Map<String, PointConfig> points, boolean toggle) {

  /** The device contract's own way: a method over OPC UA, a message and its reply over MQTT. */
  public static final MoveConfig CONTRACT = new MoveConfig(How.CONTRACT, Map.of(), false);

  /** Names the handshakes. */
  @SuppressWarnings("ImmutableEnumChecker") // The lists are made by List.of.
  public enum How {
    /** The device contract's own way. */
    CONTRACT("contract", List.of(), List.of()),
    /** Position written, then a bit set or turned over until the device echoes it. */
    STROBE("strobe", List.of("position", "strobe", "echo"), List.of("error")),
    /** Position written, then a number that changes; the device echoes the number. */
    SEQUENCE("sequence", List.of("position", "sequence"), List.of("error")),
    /** One message that holds position and number; the device echoes or answers. */
    MESSAGE("message", List.of("command"), List.of("answer", "accepted", "reason", "error")),
    /** The function block MC_MoveAbsolute (PLCopen Motion Control, part 1). */
    PLCOPEN(
        "plcopen",
        List.of("position", "execute", "done", "error"),
        List.of("busy", "command-aborted", "error-id"));

    private final String word;
    private final List<String> required;
    private final List<String> optional;

    How(String word, List<String> required, List<String> optional) {
      this.word = word;
      this.required = required;
      this.optional = optional;
    }

    /** Returns the word used in files. */
    public String word() {
      return word;
    }

    /** Returns the names of the points it cannot do without. */
    public List<String> required() {
      return required;
    }

    /** Returns the names of the points it can use. */
    public List<String> optional() {
      return optional;
    }
  }

  /** Copies the map, keeping its order. */
  public MoveConfig {
    points = Collections.unmodifiableMap(new LinkedHashMap<>(points));
  }

  /** Names what Kerftally writes; every other point is read. */
  public static final List<String> WRITTEN =
      List.of("position", "strobe", "sequence", "command", "execute");

  /** Returns the names of all points of all handshakes. */
  public static List<String> names() {
    return Arrays.stream(How.values())
        .flatMap(h -> java.util.stream.Stream.concat(h.required.stream(), h.optional.stream()))
        .distinct()
        .toList();
  }

  /** Returns a point that must be there. */
  public PointConfig point(String name) {
    return Objects.requireNonNull(points.get(name), name);
  }

  /** Returns a point, or {@code null} where the device has none. */
  public @Nullable PointConfig pointOrNull(String name) {
    return points.get(name);
  }
}
