package org.kerftally.protocol;

import java.time.Clock;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.protocol.mqtt.MqttLink;
import org.kerftally.protocol.opcua.OpcUaLink;

/** Makes the link a configuration asks for. */
public final class Links {

  private Links() {}

  /**
   * Returns a link that does nothing until it is started.
   *
   * @param station the station's name, for threads, sessions and logs
   * @param clock tells when a target expires
   */
  public static PositionerLink open(String station, LinkConfig config, Clock clock) {
    if (config instanceof OpcUaLinkConfig opcUa) {
      if (opcUa.isSecured()) {
        throw new IllegalArgumentException("secured links over OPC UA cannot be made yet");
      }
      return new OpcUaLink(station, opcUa, clock);
    }
    if (config instanceof MqttLinkConfig mqtt) {
      return new MqttLink(station, mqtt, clock);
    }
    throw new IllegalArgumentException("no link for " + config.getClass().getName());
  }
}
