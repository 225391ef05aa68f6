package org.kerftally.sim.mqtt;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.StreamWriteFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

/**
 * Writes what the device publishes and reads what it is told, as the device contract has it.
 *
 * <pre>
 * status   {"boot","count","last_cut":{…}|null,"active_seq","position_mm","target_reached","homed",
 *           "enabled","remote","saw","fault_code","fault_text","panel":{…}}
 * cut      {"boot","count","seq","position_mm","at"}
 * fault    {"code","text","active","at"}
 * operator {"boot","button","total","value_mm","on","at"}
 * reply    {"seq","accepted"} or {"seq","accepted","reason"}
 * target   {"seq","position_mm","valid_until","validity_ms",…}
 * prompt   {"kind","text","material","length_mm","label"}
 * </pre>
 */
final class DeviceJson {

  /** What one message may hold, by the device contract. */
  static final int MAX_PAYLOAD_BYTES = 64 * 1024;

  private static final long MAX_SEQ = 0xFFFF_FFFFL;
  private static final double MAX_POSITION_MM = 1_000_000;
  private static final long MAX_VALIDITY_MILLIS = 3_600_000;
  private static final int MAX_TEXT_CHARS = 500;
  private static final int MAX_DEPTH = 8;
  private static final int MAX_NUMBER_CHARS = 40;

  private static final JsonMapper MAPPER =
      JsonMapper.builder(
              JsonFactory.builder()
                  .streamReadConstraints(
                      StreamReadConstraints.builder()
                          .maxDocumentLength(MAX_PAYLOAD_BYTES)
                          .maxNestingDepth(MAX_DEPTH)
                          .maxNumberLength(MAX_NUMBER_CHARS)
                          .build())
                  .build())
          .enable(StreamWriteFeature.WRITE_BIGDECIMAL_AS_PLAIN)
          .build();

  /**
   * Holds a target as it came in.
   *
   * @param validUntil when it becomes void by the sender's clock, or {@code null} when not said
   * @param validityMillis how long it is valid once sent
   * @param boot the power-up it is meant for, or {@code null} when not said
   */
  record Command(
      long seq,
      Length position,
      @Nullable Instant validUntil,
      long validityMillis,
      @Nullable String boot) {}

  private DeviceJson() {}

  static byte[] status(DeviceSnapshot now) {
    ObjectNode node = MAPPER.createObjectNode();
    node.put("boot", now.boot());
    node.put("count", now.cutCount());
    LastCut last = now.lastCut();
    node.set("last_cut", last == null ? null : cutNode(last));
    node.put("active_seq", now.activeSequence());
    node.put("position_mm", now.position().toMm());
    node.put("target_reached", now.targetReached());
    node.put("homed", now.homingAttained());
    node.put("enabled", now.enabled());
    node.put("remote", now.remoteAllowed());
    node.put("saw", saw(now.sawState()));
    node.put("fault_code", now.faultCode());
    node.put("fault_text", now.faultText());
    node.set("panel", panel(now.panel()));
    return bytes(node);
  }

  private static ObjectNode panel(OperatorPanel panel) {
    ObjectNode node = MAPPER.createObjectNode();
    node.put("stick_loaded", panel.stickLoaded());
    putLength(node, "stick_length_mm", panel.stickLength());
    node.put("rejected", panel.rejected());
    node.put("defects", panel.defects());
    putLength(node, "defect_at_mm", panel.defectAt());
    node.put("acknowledged", panel.acknowledged());
    node.put("paused", panel.paused());
    return node;
  }

  private static String saw(SawState state) {
    return state.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  static byte[] cut(LastCut cut) {
    return bytes(cutNode(cut));
  }

  private static ObjectNode cutNode(LastCut cut) {
    ObjectNode node = MAPPER.createObjectNode();
    node.put("boot", cut.boot());
    node.put("count", cut.count());
    node.put("seq", cut.seq());
    node.put("position_mm", cut.position().toMm());
    Instant at = cut.at();
    node.put("at", at == null ? null : at.toString());
    return node;
  }

  static byte[] fault(int code, String text, boolean active, Instant at) {
    ObjectNode node = MAPPER.createObjectNode();
    node.put("code", code);
    node.put("text", text);
    node.put("active", active);
    node.put("at", time(at));
    return bytes(node);
  }

  /**
   * Writes one press.
   *
   * @param on the position of a switch, or {@code null} for a button
   */
  static byte[] operator(
      String boot,
      String button,
      long total,
      @Nullable Length value,
      @Nullable Boolean on,
      Instant at) {
    ObjectNode node = MAPPER.createObjectNode();
    node.put("boot", boot);
    node.put("button", button);
    node.put("total", total);
    putLength(node, "value_mm", value);
    node.put("on", on);
    node.put("at", time(at));
    return bytes(node);
  }

  static byte[] reply(long seq, @Nullable String refusal) {
    ObjectNode node = MAPPER.createObjectNode();
    node.put("seq", seq);
    node.put("accepted", refusal == null);
    if (refusal != null) {
      node.put("reason", refusal);
    }
    return bytes(node);
  }

  /**
   * Reads a target.
   *
   * @throws IllegalArgumentException naming the field that is wrong
   */
  static Command command(byte[] payload) {
    JsonNode node = object(payload);
    JsonNode seq = node.path("seq");
    if (!seq.isIntegralNumber() || !seq.canConvertToLong() || !isSeq(seq.longValue())) {
      throw new IllegalArgumentException("target.seq: expected a whole number from 1");
    }
    JsonNode position = node.path("position_mm");
    double mm = position.doubleValue();
    if (!position.isNumber() || !(Math.abs(mm) <= MAX_POSITION_MM)) {
      throw new IllegalArgumentException("target.position_mm: expected a number of mm");
    }
    JsonNode validity = node.path("validity_ms");
    if (!validity.isIntegralNumber()
        || !validity.canConvertToLong()
        || validity.longValue() < 1
        || validity.longValue() > MAX_VALIDITY_MILLIS) {
      throw new IllegalArgumentException("target.validity_ms: expected 1 to 3600000");
    }
    return new Command(
        seq.longValue(),
        Length.ofReadingMm(mm),
        validUntil(node.path("valid_until")),
        validity.longValue(),
        boot(node.path("boot")));
  }

  private static @Nullable String boot(JsonNode node) {
    if (node.isMissingNode() || node.isNull()) {
      return null;
    }
    if (!node.isTextual()) {
      throw new IllegalArgumentException("target.boot: expected a text");
    }
    return node.asText();
  }

  private static boolean isSeq(long seq) {
    return seq >= 1 && seq <= MAX_SEQ;
  }

  private static @Nullable Instant validUntil(JsonNode node) {
    if (node.isMissingNode() || node.isNull()) {
      return null;
    }
    try {
      return Instant.parse(node.asText());
    } catch (DateTimeException e) {
      throw new IllegalArgumentException("target.valid_until: expected an RFC 3339 time", e);
    }
  }

  /**
   * Reads a prompt.
   *
   * @throws IllegalArgumentException naming the field that is wrong
   */
  static Prompt prompt(byte[] payload) {
    JsonNode node = object(payload);
    Prompt.Kind kind;
    try {
      kind = Prompt.Kind.valueOf(node.path("kind").asText());
    } catch (IllegalArgumentException e) {
      throw new IllegalArgumentException("prompt.kind: not known", e);
    }
    JsonNode length = node.path("length_mm");
    if (length.isNumber() && !(Math.abs(length.doubleValue()) <= MAX_POSITION_MM)) {
      throw new IllegalArgumentException("prompt.length_mm: out of range");
    }
    String text = text(node, "text");
    return new Prompt(
        kind,
        text == null ? "" : text,
        text(node, "material"),
        length.isNumber() ? Length.ofReadingMm(length.doubleValue()) : null,
        text(node, "label"));
  }

  private static @Nullable String text(JsonNode node, String name) {
    JsonNode found = node.path(name);
    if (!found.isTextual()) {
      return null;
    }
    String text = found.textValue();
    return text.length() > MAX_TEXT_CHARS ? text.substring(0, MAX_TEXT_CHARS) : text;
  }

  private static JsonNode object(byte[] payload) {
    if (payload.length > MAX_PAYLOAD_BYTES) {
      throw new IllegalArgumentException("more than " + MAX_PAYLOAD_BYTES + " bytes");
    }
    try {
      JsonNode node = MAPPER.readTree(payload);
      if (node != null && node.isObject()) {
        return node;
      }
    } catch (IOException e) {
      throw new IllegalArgumentException("not JSON", e);
    }
    throw new IllegalArgumentException("not a JSON object");
  }

  private static void putLength(ObjectNode node, String name, @Nullable Length length) {
    node.put(name, length == null ? null : length.toMm());
  }

  private static String time(Instant at) {
    return at.truncatedTo(ChronoUnit.MILLIS).toString();
  }

  private static byte[] bytes(ObjectNode node) {
    try {
      return MAPPER.writeValueAsString(node).getBytes(StandardCharsets.UTF_8);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a tree of plain values could not be written", e);
    }
  }
}
