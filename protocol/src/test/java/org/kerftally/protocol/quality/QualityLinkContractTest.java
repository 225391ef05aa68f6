package org.kerftally.protocol.quality;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Clock;
import java.time.Duration;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.QualityConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.protocol.LinkContract;
import org.kerftally.protocol.Links;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;

/** Holds a link that comes from one side and dwells to the contract of every link. */
final class QualityLinkContractTest extends LinkContract {

  private static final Duration TIMEOUT = Duration.ofSeconds(20);

  private int port;

  @Override
  protected DeviceServer serve(SimDevice device) {
    OpcUaDeviceServer server = new OpcUaDeviceServer(device, port);
    port = server.port();
    return server;
  }

  @Override
  protected LinkConfig config() {
    return new OpcUaLinkConfig(
        "opc.tcp://127.0.0.1:" + port,
        OpcUaLinkConfig.DEFAULT_NAMESPACE,
        Map.of(),
        OpcUaLinkConfig.DEFAULT_PUBLISHING,
        TIMEOUT);
  }

  @Override
  protected PositionerLink open(Length window, Clock clock) {
    StationConfig station =
        QualityStations.station(
            QualityStations.asking(40, 10, QualityConfig.From.ABOVE), Calibration.TRUE, config());
    assertThat(station.window()).isEqualTo(window);
    return Links.open(station, siteFolder(), clock, tap);
  }

  @Override
  protected DeviceSnapshot truth() {
    return DeviceNumbers.seen(device().snapshot());
  }

  @Test
  void aMoveFromTheWrongSideTakesTwoLegsAndOneFromTheRightSideOne() {
    linkUp();

    reach(1, Length.ofMm(505));
    assertThat(device().snapshot().activeSequence()).isEqualTo(2);
    reach(2, Length.ofMm(413));
    assertThat(device().snapshot().activeSequence()).isEqualTo(4);

    assertThat(seen().snapshots())
        .filteredOn(snapshot -> snapshot.activeSequence() == 2)
        .allMatch(snapshot -> !snapshot.position().isMoreThan(Length.ofMm(506)));
    assertThat(seen().snapshots())
        .filteredOn(DeviceSnapshot::targetReached)
        .allMatch(snapshot -> isNear(snapshot.position(), Length.ofMm(505), Length.ofMm(413)));
  }

  private static boolean isNear(Length position, Length one, Length other) {
    return !position
        .minus(one)
        .abs()
        .min(position.minus(other).abs())
        .isMoreThan(QualityStations.WINDOW);
  }
}
