package org.kerftally.protocol;

import java.nio.file.Path;
import java.time.Clock;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.protocol.mqtt.MqttLink;
import org.kerftally.protocol.opcua.OpcUaLink;
import org.kerftally.protocol.quality.QualityLink;
import org.kerftally.shared.length.Length;

/** Makes the link a configuration asks for. */
public final class Links {

  private Links() {}

  /**
   * Returns the link of a station, which does nothing until it is started. It moves as well as the
   * station asks.
   *
   * @param siteFolder the site's folder, with its certificates in {@code pki/}
   * @param clock tells when a target expires
   */
  public static PositionerLink open(StationConfig station, Path siteFolder, Clock clock) {
    return open(station, siteFolder, clock, LinkTap.NONE);
  }

  /**
   * Returns the same link with somebody who listens on its wire.
   *
   * @param tap is told what passes over the wire
   */
  public static PositionerLink open(
      StationConfig station, Path siteFolder, Clock clock, LinkTap tap) {
    PositionerLink link =
        open(station.name(), station.link(), station.window(), siteFolder, clock, tap);
    return QualityLink.around(link, station, clock);
  }

  /**
   * Returns a link that does nothing until it is started, and passes on what the device says as it
   * says it.
   *
   * @param station the station's name, for threads, sessions and logs
   * @param window how far from its target the stop still counts as in position
   * @param siteFolder the site's folder, with its certificates in {@code pki/}
   * @param clock tells when a target expires
   */
  public static PositionerLink open(
      String station, LinkConfig config, Length window, Path siteFolder, Clock clock) {
    return open(station, config, window, siteFolder, clock, LinkTap.NONE);
  }

  /** Returns the same link with somebody who listens on its wire. */
  static PositionerLink open(
      String station, LinkConfig config, Length window, Path siteFolder, Clock clock, LinkTap tap) {
    if (config instanceof OpcUaLinkConfig opcUa) {
      return new OpcUaLink(station, opcUa, window, CertificateFolder.of(siteFolder), clock, tap);
    }
    if (config instanceof MqttLinkConfig mqtt) {
      return new MqttLink(station, mqtt, window, clock, tap);
    }
    throw new IllegalArgumentException("no link for " + config.getClass().getName());
  }
}
