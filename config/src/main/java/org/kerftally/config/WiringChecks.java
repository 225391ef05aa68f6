package org.kerftally.config;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.StandIn;

/**
 * Checks what is right in itself against the rest of a signal map: places that cannot be one, and
 * stand-ins that do not go together.
 */
final class WiringChecks {

  /** Stands for a point that is given but wrong, so that nothing more is said of it. */
  static final PointConfig UNREAD = PointConfig.plain(new Place.Node(""));

  private WiringChecks() {}

  /** Checks one signal by itself and against those before it. */
  static void signal(
      Section point, Signal signal, PointConfig read, Map<Signal, PointConfig> before) {
    if (signal == Signal.LAST_CUT_COUNT && read.count() != null) {
      point.wrong(
          "count",
          "found `count` at the last cut, which only the device itself can remember, expected none",
          "Map the device's own number, or write `lacks: { LastCut: watched }`");
    }
    if (!read.values().isEmpty() && !read.values().containsValue("idle")) {
      point.wrong(
          "values",
          "found nothing that means idle, expected one at least: without it no target is ever sent",
          "Name what the device says while the guard is up and the blade in. Example: `values: {"
              + " home: idle, clamp: guard-down, cut: blade-out }`");
    }
    if (signal.kind() != Signal.Kind.TOTAL || signal == Signal.LAST_CUT_COUNT) {
      return;
    }
    before.forEach(
        (other, same) -> {
          boolean isTotal = other.kind() == Signal.Kind.TOTAL && other != Signal.LAST_CUT_COUNT;
          if (isTotal && same.equals(read)) {
            point.wrong(
                "found the same place as for " + other.contractName() + ", expected its own",
                "Map each total to the place that carries it: one event must not count as two");
          }
        });
  }

  /** Checks what is lacking against what is there. */
  static void lacks(Section link, Map<Signal, PointConfig> signals, Set<StandIn> lacks) {
    PointConfig cuts = signals.get(Signal.CUT_COUNT);
    boolean ownLastCut = !lacks.contains(StandIn.LAST_CUT);
    if (lacks.contains(StandIn.BOOT_ID) && ownLastCut) {
      link.wrong(
          "lacks",
          "found `BootId: connection` beside a last cut that names the device's own power-up,"
              + " expected both to be of one kind",
          "Map BootId, or write `lacks: { BootId: connection, LastCut: watched }`");
    }
    if (cuts != null && cuts.count() != null && ownLastCut) {
      link.wrong(
          "signals",
          "found CutCount counted by Kerftally beside a last cut that the device counts itself,"
              + " expected both to be of one kind",
          "Map the device's own counter, or write `lacks: { LastCut: watched }`");
    }
  }

  /** The contract's own way goes by the device's echo and by its word that it is there. */
  static void contractMove(Section link, Set<StandIn> lacks) {
    for (StandIn standIn : List.of(StandIn.ACTIVE_SEQUENCE, StandIn.TARGET_REACHED)) {
      if (lacks.contains(standIn)) {
        link.wrong(
            "lacks",
            "found `"
                + standIn.signal()
                + "` beside `how: contract`, which goes by that signal, expected it mapped",
            "Map " + standIn.signal() + ", or choose another handshake under `move`");
      }
    }
  }

  /** Checks that what Kerftally writes is nowhere read as the device's own word. */
  static void written(
      Section move, Map<String, PointConfig> points, Map<Signal, PointConfig> signals) {
    Map<String, Place> read = new LinkedHashMap<>();
    signals.forEach((signal, point) -> read.put(signal.contractName(), point.place()));
    points.forEach(
        (name, point) -> {
          if (!MoveConfig.WRITTEN.contains(name)) {
            read.put("`" + name + "`", point.place());
          }
        });
    Map<PointConfig, String> owners = new LinkedHashMap<>();
    for (String name : MoveConfig.WRITTEN) {
      PointConfig point = points.get(name);
      if (point == null) {
        continue;
      }
      read.entrySet().stream()
          .filter(other -> meet(point.place(), other.getValue()))
          .findFirst()
          .ifPresent(
              other ->
                  move.wrong(
                      name,
                      "found the place that "
                          + other.getKey()
                          + " is read from, expected one of its own",
                      "What is written there would come back as the device's own word: map where"
                          + " the device takes it"));
      String owner = owners.putIfAbsent(sent(point), name);
      if (owner != null) {
        move.wrong(
            name,
            "found the same place as for `" + owner + "`, expected its own",
            "Map each to the place where the device takes it");
      }
    }
  }

  /** A message has one topic, whichever place within it is meant. */
  private static boolean meet(Place one, Place other) {
    return (one instanceof Place.Topic a && other instanceof Place.Topic b)
        ? a.topic().equals(b.topic())
        : one.equals(other);
  }

  /** Where and as what something is sent: a topic may carry two messages that differ. */
  private static PointConfig sent(PointConfig point) {
    PointConfig plain = PointConfig.plain(point.place());
    return point.template() == null
        ? plain
        : new PointConfig(
            point.place(), null, null, null, false, Map.of(), null, false, null, point.template());
  }
}
