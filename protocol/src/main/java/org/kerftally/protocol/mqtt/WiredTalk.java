package org.kerftally.protocol.mqtt;

import com.fasterxml.jackson.core.JsonPointer;
import com.fasterxml.jackson.databind.JsonNode;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.protocol.wiring.DevicePicture;
import org.kerftally.protocol.wiring.MoveInputs;
import org.kerftally.protocol.wiring.PointValues;
import org.kerftally.protocol.wiring.RawValue;
import org.kerftally.protocol.wiring.SignalFault;
import org.kerftally.shared.device.DeviceSnapshot;

/**
 * Understands a device that is wired by a signal map: keeps the newest value of every place, and
 * makes a snapshot of them as soon as there is one for each.
 *
 * <p>Values on several topics do not come at one moment. The last cut that stands in is made of the
 * values as they are when the count comes in, so a device should publish its position before its
 * count.
 */
final class WiredTalk implements DeviceTalk {

  private final WiringConfig wiring;
  private final @Nullable String replies;
  private final DevicePicture picture;
  private final Map<Signal, RawValue> values = new EnumMap<>(Signal.class);
  private final Map<String, RawValue> points = new LinkedHashMap<>();
  private final Set<String> retainedTopics = new TreeSet<>();
  private boolean heardLive;
  private @Nullable DeviceSnapshot last;

  /**
   * Makes it.
   *
   * @param replies the topic of the contract's answers, where targets go out in the contract's way
   */
  WiredTalk(WiringConfig wiring, String replies, DevicePicture picture) {
    this.wiring = wiring;
    this.replies = wiring.move().equals(MoveConfig.CONTRACT) ? replies : null;
    this.picture = picture;
  }

  @Override
  public List<String> topics() {
    Set<String> topics = new LinkedHashSet<>();
    wiring.signals().values().forEach(point -> topics.add(topic(point).topic()));
    wiring
        .move()
        .points()
        .forEach(
            (name, point) -> {
              if (!MoveConfig.WRITTEN.contains(name)) {
                topics.add(topic(point).topic());
              }
            });
    if (replies != null) {
      topics.add(replies);
    }
    return List.copyOf(topics);
  }

  private static Place.Topic topic(PointConfig point) {
    return (Place.Topic) point.place();
  }

  @Override
  public void forget() {
    values.clear();
    points.clear();
    retainedTopics.clear();
    heardLive = false;
    last = null;
    picture.connected();
  }

  @Override
  public List<Heard> hear(String topic, byte[] payload, boolean retained)
      throws MalformedMessageException {
    if (topic.equals(replies)) {
      return List.of(new Heard.Reply(DeviceMessages.reply(payload)));
    }
    Payload read = new Payload(topic, payload);
    if (retained) {
      retainedTopics.add(topic);
    } else {
      retainedTopics.remove(topic);
    }
    for (Map.Entry<Signal, PointConfig> entry : wiring.signals().entrySet()) {
      if (topic(entry.getValue()).topic().equals(topic)) {
        String name = entry.getKey().contractName();
        values.put(
            entry.getKey(),
            RawValue.of(
                entry.getKey().mayBeNone()
                    ? read.atOrNone(name, entry.getValue())
                    : read.at(name, entry.getValue())));
      }
    }
    for (Map.Entry<String, PointConfig> entry : wiring.move().points().entrySet()) {
      boolean isRead = !MoveConfig.WRITTEN.contains(entry.getKey());
      if (isRead && topic(entry.getValue()).topic().equals(topic)) {
        points.put(
            entry.getKey(), RawValue.of(read.atOrNull("move." + entry.getKey(), entry.getValue())));
      }
    }
    try {
      return heard(topic, retained);
    } catch (SignalFault e) {
      throw new MalformedMessageException(e.reason());
    }
  }

  private List<Heard> heard(String topic, boolean retained) throws SignalFault {
    List<Heard> heard = new ArrayList<>();
    PointConfig online = wiring.signals().get(Signal.ONLINE);
    if (online == null) {
      // Nothing says that the device is there but that it speaks.
      if (!retained && !heardLive) {
        heardLive = true;
        heard.add(new Heard.Online(true, true));
      }
    } else if (topic(online).topic().equals(topic)) {
      RawValue raw = values.get(Signal.ONLINE);
      if (raw != null) {
        boolean isThere = PointValues.flag(Signal.ONLINE.contractName(), online, raw);
        if (!isThere) {
          forget();
          return List.of(new Heard.Online(false, retained));
        }
        heard.add(new Heard.Online(true, retained));
      }
    }
    if (missing().isEmpty()) {
      Map<Signal, RawValue> signals = new EnumMap<>(values);
      signals.remove(Signal.ONLINE);
      DeviceSnapshot snapshot = picture.take(signals);
      last = snapshot;
      heard.add(new Heard.Status(snapshot, !retainedTopics.isEmpty()));
    }
    return heard;
  }

  /** Returns the signals nothing was heard of yet. */
  List<String> missing() {
    List<String> missing = new ArrayList<>();
    wiring
        .signals()
        .forEach(
            (signal, point) -> {
              if (!values.containsKey(signal)) {
                missing.add(signal.contractName() + " (" + point.place().text() + ")");
              }
            });
    return missing;
  }

  /** Returns what a handshake goes by, {@code null} while the device was not read whole. */
  @Nullable MoveInputs inputs() {
    DeviceSnapshot snapshot = last;
    if (snapshot == null) {
      return null;
    }
    Map<String, RawValue> known = new LinkedHashMap<>(points);
    for (String name : wiring.move().points().keySet()) {
      // A flag nobody ever published is off: an output of a program that has not run yet.
      known.putIfAbsent(name, RawValue.of(false));
    }
    return new MoveInputs(wiring.move(), known, snapshot.activeSequence());
  }

  /** Tells whether the device shows every permit for a move. */
  boolean permitsMove() {
    return last != null && last.permitsMove();
  }

  @Override
  public boolean decides(String topic) {
    return wiring.signals().values().stream().anyMatch(p -> topic(p).topic().equals(topic));
  }

  @Override
  public boolean saysOnline(String topic) {
    PointConfig online = wiring.signals().get(Signal.ONLINE);
    return online != null && topic(online).topic().equals(topic);
  }

  @Override
  public String onlinePlace() {
    PointConfig online = wiring.signals().get(Signal.ONLINE);
    return online == null
        ? "any of its topics (" + StandIn.ONLINE.signal() + ": " + StandIn.ONLINE.word() + ")"
        : topic(online).topic();
  }

  @Override
  public String statusPlace() {
    List<String> missing = missing();
    return missing.isEmpty() ? "its topics" : String.join(", ", missing);
  }

  /** One message, read as text or as JSON, whichever a point wants, once. */
  static final class Payload {
    private final String topic;
    private final byte[] bytes;
    private @Nullable JsonNode json;

    Payload(String topic, byte[] bytes) {
      this.topic = topic;
      this.bytes = bytes;
    }

    Object at(String name, PointConfig point) throws MalformedMessageException {
      Object value = atOrNull(name, point);
      if (value == null) {
        throw new MalformedMessageException(
            "signal " + name + ": nothing in the message; the map says " + point.place().text());
      }
      return value;
    }

    /**
     * Returns a value that there may be none of: where the message says null at its place, or where
     * its place would be in something that is null. One that is not there at all is missed, since a
     * pointer that is misspelt must not pass for a device that has nothing to say.
     */
    @Nullable Object atOrNone(String name, PointConfig point) throws MalformedMessageException {
      Object value = atOrNull(name, point);
      String pointer = topic(point).pointer();
      JsonNode read = json;
      if (value == null && pointer != null && read != null) {
        for (JsonPointer at = JsonPointer.compile(pointer); at != null; at = at.head()) {
          if (read.at(at).isNull()) {
            return null;
          }
        }
      }
      return value == null ? at(name, point) : value;
    }

    @Nullable Object atOrNull(String name, PointConfig point) throws MalformedMessageException {
      String pointer = topic(point).pointer();
      if (pointer == null) {
        return text(name);
      }
      if (json == null) {
        try {
          json = MessageFields.tree("topic " + topic, bytes);
        } catch (MalformedMessageException e) {
          throw new MalformedMessageException(
              "signal " + name + ": " + e.getMessage() + "; for plain text leave `pointer` out");
        }
      }
      JsonNode node = json.at(JsonPointer.compile(pointer));
      if (node.isMissingNode() || node.isNull()) {
        return null;
      }
      if (node.isBoolean()) {
        return node.booleanValue();
      }
      if (node.isNumber()) {
        return node.numberValue();
      }
      if (node.isTextual()) {
        return node.textValue();
      }
      throw new MalformedMessageException(
          "signal "
              + name
              + ": "
              + point.place().text()
              + " is "
              + (node.isArray() ? "an array" : "an object")
              + ", expected one value; check `pointer`");
    }

    private String text(String name) throws MalformedMessageException {
      if (bytes.length > MessageFields.MAX_TEXT_BYTES) {
        throw new MalformedMessageException(
            "signal "
                + name
                + ": "
                + bytes.length
                + " bytes of plain text on "
                + topic
                + ", expected at most "
                + MessageFields.MAX_TEXT_BYTES);
      }
      try {
        return StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(bytes)).toString();
      } catch (CharacterCodingException e) {
        throw new MalformedMessageException(
            "signal " + name + ": the message on " + topic + " is no text in UTF-8");
      }
    }
  }
}
