package org.kerftally.config;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.MoveConfig.How;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.config.wiring.WiringConfig;

/**
 * Reads how a device is wired: {@code signals}, {@code status-word}, {@code lacks} and {@code move}
 * of a link.
 *
 * <p>Nothing is guessed: a signal is mapped, or is where the device contract puts it, or the
 * configuration says in one word what stands in for it.
 */
final class WiringReader {

  private static final String POINT_OF_OPC_UA = "{ node: \"nsu=urn:example:drive;s=Axis1.Pos\" }";
  private static final String POINT_OF_MQTT = "{ topic: plant/saw/state, pointer: /axis/pos }";

  /** Bits of the status word of IEC 61800-7-201 (CiA 402), and the state "operation enabled". */
  private static final long STATE_BITS = 0x6F;

  private static final long OPERATION_ENABLED = 0x27;
  private static final long FAULT_BIT = 1L << 3;
  private static final long REMOTE_BIT = 1L << 9;
  private static final long TARGET_REACHED_BIT = 1L << 10;

  private final Section link;
  private final PointReader points;
  private final boolean overOpcUa;

  private WiringReader(Section link, boolean overOpcUa) {
    this.link = link;
    this.points = new PointReader(overOpcUa);
    this.overOpcUa = overOpcUa;
  }

  /** Reads the wiring of a link over OPC UA. */
  static WiringConfig ofOpcUa(Section link) {
    return new WiringReader(link, true).read();
  }

  /** Reads the wiring of a link over MQTT. */
  static WiringConfig ofMqtt(Section link) {
    return new WiringReader(link, false).read();
  }

  private WiringConfig read() {
    Map<Signal, PointConfig> signals = readSignals();
    readStatusWord(signals);
    Set<StandIn> lacks = readLacks(signals);
    MoveConfig move = readMove(signals, lacks);
    checkSaw(signals, lacks);
    WiringChecks.lacks(link, signals, lacks);
    if (!overOpcUa) {
      checkWhole(signals, lacks);
      if (signals.isEmpty() && !move.equals(MoveConfig.CONTRACT)) {
        link.wrong(
            "move",
            "found `move` without `signals`, expected both: a device with a handshake of its own"
                + " publishes no status of the device contract",
            "Map the signals too, or leave `move` out");
      }
    }
    return new WiringConfig(signals, lacks, move);
  }

  private Map<Signal, PointConfig> readSignals() {
    Map<Signal, PointConfig> signals = new LinkedHashMap<>();
    String example = overOpcUa ? POINT_OF_OPC_UA : POINT_OF_MQTT;
    Section section =
        link.section("signals", Signal.names(), "{ PositionActualValue: " + example + " }");
    if (section == null) {
      return signals;
    }
    for (Signal signal : Signal.values()) {
      Section point = section.section(signal.contractName(), Keys.POINT, example);
      if (point == null) {
        continue;
      }
      if (overOpcUa && signal == Signal.ONLINE) {
        section.wrong(
            signal.contractName(),
            "found a signal that says a device is there, expected none over OPC UA",
            "Leave it out: over OPC UA the connection itself says so");
        continue;
      }
      PointConfig read = points.signal(point, signal.kind());
      if (read != null) {
        WiringChecks.signal(point, signal, read, signals);
      }
      signals.put(signal, read == null ? WiringChecks.UNREAD : read);
    }
    return signals;
  }

  private void readStatusWord(Map<Signal, PointConfig> signals) {
    String example = overOpcUa ? POINT_OF_OPC_UA : POINT_OF_MQTT;
    Section section = link.section("status-word", Keys.STATUS_WORD, example);
    PointConfig word = section == null ? null : points.place(section);
    if (word == null) {
      return;
    }
    signals.putIfAbsent(Signal.ENABLED, word.masked(STATE_BITS, OPERATION_ENABLED));
    signals.putIfAbsent(Signal.TARGET_REACHED, word.masked(TARGET_REACHED_BIT, null));
    signals.putIfAbsent(Signal.REMOTE_ALLOWED, word.masked(REMOTE_BIT, null));
    signals.putIfAbsent(Signal.FAULT_CODE, word.masked(FAULT_BIT, null));
  }

  private Set<StandIn> readLacks(Map<Signal, PointConfig> signals) {
    Set<StandIn> lacks = new LinkedHashSet<>();
    Section section = link.section("lacks", StandIn.names(), "{ BootId: connection }");
    if (section == null) {
      return lacks;
    }
    for (StandIn standIn : StandIn.values()) {
      String word =
          section.read(
              standIn.signal(),
              new Kind<>(
                  standIn.word(),
                  text ->
                      text.equals(standIn.word())
                          ? Reading.of(text)
                          : Reading.not(
                              text,
                              "`"
                                  + standIn.word()
                                  + "`, which says that "
                                  + standIn.standsIn()
                                  + "; what is lost: "
                                  + standIn.lost())));
      if (word == null) {
        continue;
      }
      lacks.add(standIn);
      signals.keySet().stream()
          .filter(signal -> StandIn.of(signal) == standIn)
          .forEach(
              signal ->
                  section.wrong(
                      standIn.signal(),
                      "found "
                          + signal.contractName()
                          + " under `lacks` and under `signals`, expected one of them",
                      "Keep the one that is true of the device"));
      if (overOpcUa && standIn == StandIn.ONLINE) {
        section.wrong(
            standIn.signal(),
            "found `Online` under `lacks`, expected it over MQTT only",
            "Leave it out: over OPC UA the connection itself says so");
      }
    }
    return lacks;
  }

  private void checkSaw(Map<Signal, PointConfig> signals, Set<StandIn> lacks) {
    boolean guard = signals.containsKey(Signal.GUARD_UP);
    boolean blade = signals.containsKey(Signal.BLADE_IN);
    if (guard != blade) {
      String missing = guard ? "BladeIn" : "GuardUp";
      link.wrong(
          "signals",
          "found `"
              + (guard ? "GuardUp" : "BladeIn")
              + "` without `"
              + missing
              + "`, expected both: the stop may move only with the guard up and the blade in",
          "Map " + missing + " too, or map `SawState`");
    }
    if (guard && (signals.containsKey(Signal.SAW_STATE) || lacks.contains(StandIn.SAW_STATE))) {
      link.wrong(
          "signals",
          "found `GuardUp` beside another word on the saw's state, expected one of them",
          "Keep GuardUp and BladeIn, or SawState, or `lacks: { SawState: machine-interlock }`");
    }
  }

  /** Over MQTT a mapped device has no other place where a signal could be found. */
  private void checkWhole(Map<Signal, PointConfig> signals, Set<StandIn> lacks) {
    if (signals.isEmpty() && lacks.isEmpty()) {
      return;
    }
    List<String> missing = new ArrayList<>();
    Set<StandIn> said = EnumSet.noneOf(StandIn.class);
    for (Signal signal : Signal.values()) {
      StandIn standIn = StandIn.of(signal);
      boolean needed = signal.required() || signal == Signal.ONLINE;
      boolean sawByBits = signal == Signal.SAW_STATE && signals.containsKey(Signal.GUARD_UP);
      boolean there = signals.containsKey(signal) || sawByBits;
      if (needed
          && !there
          && (standIn == null || (!lacks.contains(standIn) && said.add(standIn)))) {
        String way =
            standIn == null
                ? ""
                : " (or `lacks: { " + standIn.signal() + ": " + standIn.word() + " }`)";
        missing.add(signal.contractName() + way);
      }
    }
    if (!missing.isEmpty()) {
      link.wrong(
          "signals",
          "found no place for " + String.join(", ", missing),
          "Map each, or say what stands in. Example: `CutCount: { topic: plant/saw/cuts }`");
    }
  }

  private MoveConfig readMove(Map<Signal, PointConfig> signals, Set<StandIn> lacks) {
    Section move = link.section("move", Keys.MOVE, "{ how: contract }");
    if (move == null) {
      WiringChecks.contractMove(link, lacks);
      return MoveConfig.CONTRACT;
    }
    How how = move.require("how", WiringKinds.HOW);
    if (how == null) {
      return MoveConfig.CONTRACT;
    }
    if (how == How.CONTRACT) {
      WiringChecks.contractMove(link, lacks);
    }
    if (how == How.MESSAGE && overOpcUa) {
      move.wrong(
          "how",
          "found `message`, expected contract, strobe, sequence or plcopen over OPC UA",
          "`message` is for MQTT. Example: `how: strobe`");
    }
    if (how == How.SEQUENCE && lacks.contains(StandIn.ACTIVE_SEQUENCE)) {
      move.wrong(
          "how",
          "found `sequence` for a device that lacks ActiveSequence, which is the echo it waits for",
          "Map ActiveSequence, or choose another handshake");
    }
    if (how == How.MESSAGE && lacks.contains(StandIn.ACTIVE_SEQUENCE) && !move.has("answer")) {
      move.wrong(
          "answer",
          "found no `answer` for a device that lacks ActiveSequence, expected one of them",
          "Map where the device answers. Example: `answer: { topic: plant/ack, pointer: /id }`");
    }
    Boolean toggle = move.read("toggle", WordKinds.YES_OR_NO);
    if (toggle != null && how != How.STROBE) {
      move.wrong("toggle", "found `toggle` beside `how: " + how.word() + "`", "Leave it out");
    }
    Map<String, PointConfig> read = new LinkedHashMap<>();
    for (String name : MoveConfig.names()) {
      boolean known = how.required().contains(name) || how.optional().contains(name);
      String example =
          "{ " + (overOpcUa ? "node: \"ns=2;s=" + name + "\"" : "topic: " + name) + " }";
      if (!move.has(name)) {
        if (how.required().contains(name)) {
          move.wrong(
              name,
              "found no `" + name + "`, expected one for `how: " + how.word() + "`",
              "Add it. Example: `" + name + ": " + example + "`");
        }
        continue;
      }
      if (!known) {
        move.wrong(
            name,
            "found `" + name + "`, which `how: " + how.word() + "` does not use",
            "It uses "
                + String.join(", ", how.required())
                + ", and may use "
                + String.join(", ", how.optional()));
        continue;
      }
      Section point = move.section(name, Keys.POINT, example);
      PointConfig one = point == null ? null : points.ofMove(point, name);
      if (one != null) {
        read.put(name, one);
      }
    }
    WiringChecks.written(move, read, signals);
    return new MoveConfig(how, read, toggle != null && toggle);
  }
}
