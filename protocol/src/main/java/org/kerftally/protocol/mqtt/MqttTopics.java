package org.kerftally.protocol.mqtt;

import java.nio.charset.StandardCharsets;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.kerftally.config.MqttLinkConfig;

/**
 * Holds the topics of one station's link. {@code fault} and {@code operator} are not among those
 * the link reads: the status carries both, as totals that lose nothing.
 *
 * @param target where targets go
 * @param prompt where prompts go
 * @param status where the device says everything, retained
 * @param cut where the device reports a saw cycle
 * @param reply where the device answers a target
 * @param online where the device says that it is there, retained
 */
record MqttTopics(
    String target, String prompt, String status, String cut, String reply, String online) {

  /** Longer topics serve nobody and slow every broker down. */
  static final int MAX_TOPIC_BYTES = 200;

  /**
   * Returns the topics a configuration states.
   *
   * @throws IllegalArgumentException when one cannot be a topic, or two are the same
   */
  static MqttTopics of(MqttLinkConfig config) {
    MqttTopics topics =
        new MqttTopics(
            config.topic("target"),
            config.topic("prompt"),
            config.topic("status"),
            config.topic("cut"),
            config.topic("reply"),
            config.topic("online"));
    Set<String> seen = new HashSet<>();
    for (String topic : topics.all()) {
      check(topic);
      if (!seen.add(topic)) {
        throw new IllegalArgumentException(
            "topic " + MalformedMessageException.quote(topic) + " is given to two signals");
      }
    }
    return topics;
  }

  private List<String> all() {
    return List.of(target, prompt, status, cut, reply, online);
  }

  /** Returns the topics that are read. */
  List<String> subscribed() {
    return List.of(online, status, cut, reply);
  }

  private static void check(String topic) {
    // OASIS MQTT 5.0, 4.7.1 and 4.7.3: no wildcards in a topic name, no null character, not empty.
    String shown = "topic " + MalformedMessageException.quote(topic);
    if (topic.isEmpty()) {
      throw new IllegalArgumentException("a topic is empty");
    }
    if (topic.getBytes(StandardCharsets.UTF_8).length > MAX_TOPIC_BYTES) {
      throw new IllegalArgumentException(shown + " is longer than " + MAX_TOPIC_BYTES + " bytes");
    }
    if (topic.indexOf('+') >= 0 || topic.indexOf('#') >= 0) {
      throw new IllegalArgumentException(shown + " holds a wildcard, + or #");
    }
    if (topic.startsWith("$")) {
      throw new IllegalArgumentException(
          shown + " starts with $, which brokers keep for themselves");
    }
    if (topic.chars().anyMatch(Character::isISOControl)) {
      throw new IllegalArgumentException(shown + " holds a control character");
    }
  }
}
