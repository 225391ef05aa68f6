package org.kerftally.config;

import java.time.Duration;
import org.kerftally.config.wiring.WiringConfig;

/** States how a station's device is reached. */
public sealed interface LinkConfig permits OpcUaLinkConfig, MqttLinkConfig {

  /** How long a request may wait for its answer where nothing is said: four seconds. */
  Duration DEFAULT_TIMEOUT = Duration.ofSeconds(4);

  /** Returns how long a request may wait for its answer. */
  Duration timeout();

  /** Returns the address of the other end. */
  String address();

  /** Tells whether messages are encrypted. */
  boolean isSecured();

  /** Returns whether messages may leave this machine in clear. */
  PlainText plainText();

  /** Returns how the device's signals are wired to those of the device contract. */
  WiringConfig wiring();

  /** Tells whether messages leave this machine in clear. */
  default boolean isExposed() {
    return !isSecured() && !Loopback.isUrl(address());
  }
}
