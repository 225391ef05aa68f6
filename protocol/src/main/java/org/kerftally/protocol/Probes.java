package org.kerftally.protocol;

import java.nio.file.Path;
import java.time.Clock;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.protocol.mqtt.MqttProbe;
import org.kerftally.protocol.opcua.OpcUaProbe;
import org.kerftally.protocol.probe.ProbeException;
import org.kerftally.protocol.probe.SignalProbe;
import org.kerftally.protocol.quality.LegProbe;

/** Opens what looks at a station's signals one by one. */
public final class Probes {

  private Probes() {}

  /**
   * Connects to a station's device. Moves nothing.
   *
   * @param siteFolder the site's folder, with its certificates in {@code pki/}
   * @param clock tells when a value was heard
   * @throws ProbeException when it cannot be spoken to
   */
  public static SignalProbe open(StationConfig station, Path siteFolder, Clock clock)
      throws ProbeException, InterruptedException {
    return LegProbe.around(ofDevice(station, siteFolder, clock), station);
  }

  private static SignalProbe ofDevice(StationConfig station, Path siteFolder, Clock clock)
      throws ProbeException, InterruptedException {
    LinkConfig link = station.link();
    if (link instanceof OpcUaLinkConfig opcUa) {
      CertificateFolder certificates = CertificateFolder.of(siteFolder);
      return OpcUaProbe.open(station.name(), opcUa, station.window(), certificates, clock);
    }
    if (link instanceof MqttLinkConfig mqtt) {
      return MqttProbe.open(mqtt, station.window(), clock);
    }
    throw new IllegalArgumentException("no probe for " + link.getClass().getName());
  }
}
