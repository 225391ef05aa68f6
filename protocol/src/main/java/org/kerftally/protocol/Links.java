package org.kerftally.protocol;

import java.nio.file.Path;
import java.time.Clock;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.protocol.mqtt.MqttLink;
import org.kerftally.protocol.opcua.OpcUaLink;

/** Makes the link a configuration asks for. */
public final class Links {

  private Links() {}

  /**
   * Returns a link that does nothing until it is started.
   *
   * @param station the station's name, for threads, sessions and logs
   * @param siteFolder the site's folder, with its certificates in {@code pki/}
   * @param clock tells when a target expires
   */
  public static PositionerLink open(
      String station, LinkConfig config, Path siteFolder, Clock clock) {
    if (config instanceof OpcUaLinkConfig opcUa) {
      return new OpcUaLink(station, opcUa, CertificateFolder.of(siteFolder), clock);
    }
    if (config instanceof MqttLinkConfig mqtt) {
      return new MqttLink(station, mqtt, clock);
    }
    throw new IllegalArgumentException("no link for " + config.getClass().getName());
  }
}
