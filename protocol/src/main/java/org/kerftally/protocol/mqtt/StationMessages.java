package org.kerftally.protocol.mqtt;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamWriteFeature;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.charset.StandardCharsets;
import java.time.temporal.ChronoUnit;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/**
 * Writes what a station publishes to its device.
 *
 * <pre>
 * target  {"seq":17,"position_mm":505.0,"part":"super side","job":"…",
 *          "valid_until":"2027-03-01T09:15:05Z","validity_ms":3000,
 *          "boot":"…"}
 * prompt  {"kind":"LOAD_STICK","text":"…","material":"…","length_mm":2440,"label":null}
 * </pre>
 *
 * <p>Lengths are exact decimal millimetres. Names are cut to a bound, so that no message passes
 * what the contract allows; they are for the device's panel and decide nothing.
 */
final class StationMessages {

  private static final int MAX_NAME_CHARS = 200;
  private static final int MAX_TEXT_CHARS = 500;

  private static final JsonMapper MAPPER =
      JsonMapper.builder().enable(StreamWriteFeature.WRITE_BIGDECIMAL_AS_PLAIN).build();

  private StationMessages() {}

  /** Writes one target. */
  static byte[] target(Target target) {
    ObjectNode node = MAPPER.createObjectNode();
    node.put("seq", target.seq());
    node.put("position_mm", target.position().toMm());
    node.put("part", shortened(target.part(), MAX_NAME_CHARS));
    node.put("job", shortened(target.job(), MAX_NAME_CHARS));
    node.put("valid_until", target.validUntil().truncatedTo(ChronoUnit.MILLIS).toString());
    node.put("validity_ms", target.validity().toMillis());
    node.put("boot", target.boot());
    return bytes(node);
  }

  /** Writes one prompt. */
  static byte[] prompt(Prompt prompt) {
    ObjectNode node = MAPPER.createObjectNode();
    node.put("kind", prompt.kind().name());
    node.put("text", shortened(prompt.text(), MAX_TEXT_CHARS));
    node.put("material", shortened(prompt.material(), MAX_NAME_CHARS));
    Length length = prompt.length();
    node.put("length_mm", length == null ? null : length.toMm());
    node.put("label", shortened(prompt.label(), MAX_NAME_CHARS));
    return bytes(node);
  }

  private static @Nullable String shortened(@Nullable String text, int mostChars) {
    return text == null || text.length() <= mostChars ? text : text.substring(0, mostChars);
  }

  private static byte[] bytes(ObjectNode node) {
    try {
      return MAPPER.writeValueAsString(node).getBytes(StandardCharsets.UTF_8);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a tree of plain values could not be written", e);
    }
  }
}
