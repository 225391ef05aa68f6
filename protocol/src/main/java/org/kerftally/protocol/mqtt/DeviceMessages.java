package org.kerftally.protocol.mqtt;

import java.nio.charset.StandardCharsets;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.SawState;

/**
 * Reads what a device publishes.
 *
 * <pre>
 * status  {"boot":"…","count":12,"last_cut":{…}|null,"active_seq":17,"position_mm":505.0,
 *          "target_reached":true,"homed":true,"enabled":true,"remote":true,
 *          "saw":"idle|guard-down|blade-out|unknown","fault_code":0,"fault_text":"",
 *          "panel":{"stick_loaded":3,"stick_length_mm":null,"rejected":0,"defects":0,
 *                   "defect_at_mm":null,"acknowledged":1,"paused":false}}
 * cut     {"boot":"…","count":12,"seq":17,"position_mm":505.02,"at":"2027-03-01T09:15:02.117Z"}
 * reply   {"seq":17,"accepted":false,"reason":"…"}
 * online  true | false
 * </pre>
 *
 * <p>{@code last_cut}, {@code fault_text}, {@code panel} and what it holds, {@code at} and {@code
 * reason} may be left out; everything else must be there, because its absence would have to be
 * guessed.
 */
final class DeviceMessages {

  private static final int MAX_ONLINE_BYTES = 16;
  private static final String SAW_WORDS = "one of idle, guard-down, blade-out, unknown";

  private DeviceMessages() {}

  /** Reads every signal of the device. */
  static DeviceSnapshot status(byte[] payload) throws MalformedMessageException {
    MessageFields fields = MessageFields.parse("status", payload);
    MessageFields lastCut = fields.optionalObject("last_cut");
    return new DeviceSnapshot(
        fields.identity("boot"),
        fields.whole("count", 0, MessageFields.MAX_WHOLE_NUMBER),
        lastCut == null ? null : lastCut(lastCut),
        fields.whole("active_seq", 0, MessageFields.MAX_WHOLE_NUMBER),
        fields.reading("position_mm", -MessageFields.MAX_READING_MM),
        fields.flag("target_reached"),
        fields.flag("homed"),
        fields.flag("enabled"),
        fields.flag("remote"),
        saw(fields),
        (int) fields.whole("fault_code", 0, Integer.MAX_VALUE),
        fields.text("fault_text"),
        panel(fields.optionalObject("panel")));
  }

  /** Reads the report of one saw cycle. */
  static LastCut cut(byte[] payload) throws MalformedMessageException {
    return lastCut(MessageFields.parse("cut", payload));
  }

  /** Reads the answer to a target. */
  static LinkEvent.Replied reply(byte[] payload) throws MalformedMessageException {
    MessageFields fields = MessageFields.parse("reply", payload);
    long seq = fields.whole("seq", 1, MessageFields.MAX_WHOLE_NUMBER);
    boolean accepted = fields.flag("accepted");
    String reason = fields.text("reason");
    return new LinkEvent.Replied(seq, accepted, reason.isEmpty() ? null : reason);
  }

  /** Reads whether the device is there. */
  static boolean online(byte[] payload) throws MalformedMessageException {
    if (payload.length <= MAX_ONLINE_BYTES) {
      String word = new String(payload, StandardCharsets.UTF_8).strip().toLowerCase(Locale.ROOT);
      if (word.equals("true") || word.equals("false")) {
        return word.equals("true");
      }
    }
    throw new MalformedMessageException("online: expected true or false");
  }

  private static LastCut lastCut(MessageFields fields) throws MalformedMessageException {
    return new LastCut(
        fields.identity("boot"),
        fields.whole("count", 1, MessageFields.MAX_WHOLE_NUMBER),
        fields.whole("seq", 0, MessageFields.MAX_WHOLE_NUMBER),
        fields.reading("position_mm", -MessageFields.MAX_READING_MM),
        fields.optionalTime("at"));
  }

  private static SawState saw(MessageFields fields) throws MalformedMessageException {
    return switch (fields.word("saw", SAW_WORDS)) {
      case "idle" -> SawState.IDLE;
      case "guard-down" -> SawState.GUARD_DOWN;
      case "blade-out" -> SawState.BLADE_OUT;
      case "unknown" -> SawState.UNKNOWN;
      default -> throw fields.wrong("saw", SAW_WORDS);
    };
  }

  private static OperatorPanel panel(@Nullable MessageFields fields)
      throws MalformedMessageException {
    if (fields == null) {
      return OperatorPanel.UNTOUCHED;
    }
    return new OperatorPanel(
        fields.optionalTotal("stick_loaded"),
        fields.optionalLength("stick_length_mm"),
        fields.optionalTotal("rejected"),
        fields.optionalTotal("defects"),
        fields.optionalLength("defect_at_mm"),
        fields.optionalTotal("acknowledged"),
        fields.optionalFlag("paused"));
  }
}
