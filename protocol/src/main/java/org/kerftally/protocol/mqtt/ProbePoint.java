package org.kerftally.protocol.mqtt;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.WiringConfig;

/**
 * Is one signal or point of a handshake that is looked at over MQTT.
 *
 * @param name its name, as error texts have it
 * @param signal which signal it is, {@code null} for a point of a handshake
 * @param point where it is and how it is understood
 * @param isNeeded whether a station cannot do without a value of it
 */
record ProbePoint(String name, @Nullable Signal signal, PointConfig point, boolean isNeeded) {

  private static final String MOVE = "move.";

  /** Where the contract's status has each signal; see {@link DeviceMessages}. */
  private static final Map<Signal, String> IN_STATUS = inStatus();

  private static Map<Signal, String> inStatus() {
    Map<Signal, String> pointers = new EnumMap<>(Signal.class);
    pointers.put(Signal.BOOT_ID, "/boot");
    pointers.put(Signal.CUT_COUNT, "/count");
    pointers.put(Signal.LAST_CUT_BOOT, "/last_cut/boot");
    pointers.put(Signal.LAST_CUT_COUNT, "/last_cut/count");
    pointers.put(Signal.LAST_CUT_SEQUENCE, "/last_cut/seq");
    pointers.put(Signal.LAST_CUT_POSITION, "/last_cut/position_mm");
    pointers.put(Signal.LAST_CUT_TIME, "/last_cut/at");
    pointers.put(Signal.ACTIVE_SEQUENCE, "/active_seq");
    pointers.put(Signal.POSITION_ACTUAL_VALUE, "/position_mm");
    pointers.put(Signal.TARGET_REACHED, "/target_reached");
    pointers.put(Signal.HOMING_ATTAINED, "/homed");
    pointers.put(Signal.ENABLED, "/enabled");
    pointers.put(Signal.REMOTE_ALLOWED, "/remote");
    pointers.put(Signal.SAW_STATE, "/saw");
    pointers.put(Signal.FAULT_CODE, "/fault_code");
    pointers.put(Signal.FAULT_TEXT, "/fault_text");
    pointers.put(Signal.STICK_LOADED_COUNT, "/panel/stick_loaded");
    pointers.put(Signal.STICK_LENGTH, "/panel/stick_length_mm");
    pointers.put(Signal.REJECT_COUNT, "/panel/rejected");
    pointers.put(Signal.DEFECT_COUNT, "/panel/defects");
    pointers.put(Signal.DEFECT_POSITION, "/panel/defect_at_mm");
    pointers.put(Signal.ACKNOWLEDGE_COUNT, "/panel/acknowledged");
    pointers.put(Signal.PAUSED, "/panel/paused");
    return pointers;
  }

  /** Returns everything of a device that is wired by a signal map. */
  static List<ProbePoint> ofMap(WiringConfig wiring) {
    List<ProbePoint> points = new ArrayList<>();
    wiring
        .signals()
        .forEach(
            (signal, point) ->
                points.add(new ProbePoint(signal.contractName(), signal, point, true)));
    wiring
        .move()
        .points()
        .forEach((name, point) -> points.add(new ProbePoint(MOVE + name, null, point, false)));
    return points;
  }

  /** Returns everything of a device that keeps the contract. */
  static List<ProbePoint> ofContract(MqttTopics topics) {
    List<ProbePoint> points = new ArrayList<>();
    IN_STATUS.forEach(
        (signal, pointer) ->
            points.add(
                new ProbePoint(
                    signal.contractName(),
                    signal,
                    PointConfig.plain(new Place.Topic(topics.status(), pointer)),
                    signal.required() && !signal.isOfLastCut())));
    points.add(
        new ProbePoint(
            Signal.ONLINE.contractName(),
            Signal.ONLINE,
            PointConfig.plain(new Place.Topic(topics.online(), null)),
            true));
    return points;
  }

  /** Returns the topic. */
  String topic() {
    return ((Place.Topic) point.place()).topic();
  }

  /** Returns the name of a handshake's point in the handshake. */
  String moveName() {
    return name.substring(MOVE.length());
  }

  /** Tells whether Kerftally writes it, so that there is nothing to read. */
  boolean isWritten() {
    return signal == null && MoveConfig.WRITTEN.contains(moveName());
  }

  /** Returns the key in the configuration. */
  String key() {
    return signal == null ? "link.mqtt." + name : "link.mqtt.signals." + name;
  }
}
