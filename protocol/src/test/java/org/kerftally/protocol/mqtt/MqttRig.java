package org.kerftally.protocol.mqtt;

import java.time.Duration;
import java.util.Map;
import org.kerftally.config.MqttLinkConfig;

/** Makes the configurations of links under test. */
final class MqttRig {

  static final Duration TIMEOUT = Duration.ofSeconds(4);

  private MqttRig() {}

  /** Returns a link's configuration with the contract's topics under a prefix. */
  static MqttLinkConfig config(String broker, String prefix) {
    return new MqttLinkConfig(
        broker, prefix, Map.of(), null, null, Duration.ofSeconds(2), TIMEOUT, null);
  }
}
