package org.kerftally.protocol.mqtt;

import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.protocol.probe.SignalReading;
import org.kerftally.protocol.probe.Understanding;
import org.kerftally.protocol.wiring.DevicePicture;
import org.kerftally.protocol.wiring.RawValue;
import org.kerftally.protocol.wiring.SignalFault;
import org.kerftally.shared.length.Length;

/**
 * Keeps the newest of every point of a device, and says what is wrong with each and with all
 * together. Threading: none; belongs to one probe.
 */
final class HeardPoints {

  private static final String MARK = "check";

  private final MqttLinkConfig config;
  private final Length window;
  private final Clock clock;
  private final MqttTopics contract;
  private final boolean isMapped;
  private final List<ProbePoint> points;
  private final Map<String, Heard> heard = new HashMap<>();
  private final Map<String, Instant> changed = new HashMap<>();
  private @Nullable String together;
  private @Nullable String unreadable;
  private boolean watching;

  /** The newest of one point: a value, or why there is none. */
  private record Heard(RawValue raw, @Nullable String fault, Instant at) {}

  /**
   * Makes it.
   *
   * @throws IllegalArgumentException when a topic cannot be used
   */
  HeardPoints(MqttLinkConfig config, Length window, Clock clock) {
    this.config = config;
    this.window = window;
    this.clock = clock;
    this.contract = MqttTopics.of(config);
    this.isMapped = !config.wiring().signals().isEmpty() || !config.wiring().lacks().isEmpty();
    this.points = isMapped ? ProbePoint.ofMap(config.wiring()) : ProbePoint.ofContract(contract);
  }

  /** Returns the topics to subscribe to. */
  List<String> topics() {
    return points.stream().filter(p -> !p.isWritten()).map(ProbePoint::topic).distinct().toList();
  }

  /** Tells whether something was heard of every point that is needed. */
  boolean isWhole() {
    return points.stream().allMatch(p -> !p.isNeeded() || heard.containsKey(p.name()));
  }

  /** Notes changes from now on. */
  void watch() {
    watching = true;
  }

  /** Takes a message in. */
  void hear(LinkInput.Arrived message) {
    WiredTalk.Payload payload = new WiredTalk.Payload(message.topic(), message.payload());
    for (ProbePoint point : points) {
      if (!point.isWritten() && point.topic().equals(message.topic())) {
        note(point, read(point, payload));
      }
    }
    if (!isMapped && message.topic().equals(contract.status())) {
      try {
        var unused = DeviceMessages.status(message.payload());
        unreadable = null;
      } catch (MalformedMessageException e) {
        unreadable =
            "topic "
                + contract.status()
                + ": "
                + e.getMessage()
                + "; mend the device's message as protocol/DEVICE.md has it, or map its signals"
                + " under link.mqtt.signals";
      }
    }
  }

  private Heard read(ProbePoint point, WiredTalk.Payload payload) {
    Instant now = clock.instant();
    try {
      Signal signal = point.signal();
      if (signal != null && signal.mayBeNone() && point.isNeeded()) {
        return new Heard(RawValue.of(payload.atOrNone(point.name(), point.point())), null, now);
      }
      Object value = payload.atOrNull(point.name(), point.point());
      String fault =
          value == null && point.isNeeded()
              ? "signal "
                  + point.name()
                  + ": the message has nothing at "
                  + point.point().place().text()
                  + "; check "
                  + place(point, "`pointer` at ")
              : null;
      return new Heard(RawValue.of(value), fault, now);
    } catch (MalformedMessageException e) {
      String fault =
          Understanding.mended(String.valueOf(e.getMessage()), "check " + place(point, ""));
      return new Heard(RawValue.of(null), fault, now);
    }
  }

  private String place(ProbePoint point, String what) {
    return isMapped
        ? what + point.key() + " against what the device publishes"
        : "the device's message against protocol/DEVICE.md";
  }

  private void note(ProbePoint point, Heard next) {
    Heard before = heard.put(point.name(), next);
    if (watching && before != null && !before.raw().equals(next.raw())) {
      changed.put(point.name(), next.at());
    }
  }

  /** Returns every point as it is now. */
  List<SignalReading> read() {
    List<SignalReading> readings = new ArrayList<>();
    Map<Signal, RawValue> signals = new EnumMap<>(Signal.class);
    boolean whole = true;
    for (ProbePoint point : points) {
      Heard newest = heard.get(point.name());
      SignalReading reading = reading(point, newest);
      readings.add(reading);
      whole &= reading.fault() == null;
      if (point.signal() != null && point.signal() != Signal.ONLINE && newest != null) {
        signals.put(point.signal(), newest.raw());
      }
    }
    together = together(readings, whole, signals);
    return readings;
  }

  private SignalReading reading(ProbePoint point, @Nullable Heard newest) {
    Understanding understood = new Understanding(null, null);
    String fault = newest == null ? silence(point) : newest.fault();
    if (newest != null && newest.fault() == null && (newest.raw().value() != null)) {
      String mend = "check " + place(point, "");
      understood =
          point.signal() == null
              ? Understanding.ofMove(point.moveName(), point.point(), newest.raw(), mend)
              : Understanding.of(point.signal(), point.point(), newest.raw(), mend);
    }
    String quality = point.isWritten() ? "written, not read" : "not heard";
    return new SignalReading(
        point.name(),
        point.point().place().text(),
        newest == null ? null : Understanding.shown(newest.raw()),
        understood.text(),
        newest == null ? null : newest.at(),
        false,
        newest == null ? quality : newest.fault() == null ? SignalReading.GOOD : "unreadable",
        changed.get(point.name()),
        fault == null ? understood.fault() : fault);
  }

  private @Nullable String silence(ProbePoint point) {
    if (!point.isNeeded() || !isMapped) {
      return null;
    }
    return "signal "
        + point.name()
        + ": nothing was published on topic "
        + point.topic()
        + " since it was subscribed to; check the topic at "
        + point.key()
        + ", and have the device publish it retained";
  }

  private @Nullable String together(
      List<SignalReading> readings, boolean whole, Map<Signal, RawValue> signals) {
    if (readings.stream().anyMatch(r -> r.name().equals("Online") && isFalse(r))) {
      return "the device says on its topic that it is not there (Online is false); switch it on";
    }
    if (!isMapped && !(heard.containsKey("Online") && heard.containsKey("BootId"))) {
      String silent = heard.containsKey("Online") ? contract.status() : contract.online();
      return "nothing was published on topic "
          + silent
          + " since it was subscribed to; check that the device is on, and `prefix` and `topics` at"
          + " link.mqtt against its own";
    }
    if (!whole || !isMapped) {
      return whole ? unreadable : null;
    }
    DevicePicture picture = new DevicePicture(config.wiring(), window, MARK);
    picture.connected();
    try {
      var unused = picture.take(signals);
      return null;
    } catch (SignalFault e) {
      return Understanding.mended(e.reason(), "check link.mqtt.signals");
    }
  }

  private static boolean isFalse(SignalReading reading) {
    return "false".equals(reading.understood());
  }

  /** Returns what is wrong with all points of the last reading together. */
  List<String> faults() {
    return together == null ? List.of() : List.of(together);
  }
}
