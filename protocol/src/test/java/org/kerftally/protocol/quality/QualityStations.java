package org.kerftally.protocol.quality;

import java.time.Duration;
import java.util.Map;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.MovesConfig;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.OperatorConfig;
import org.kerftally.config.QualityConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.StopMotion;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

/** Makes stations that ask something of their moves. */
final class QualityStations {

  static final Length WINDOW = Length.ofNm(100_000);
  static final Travel TRAVEL = new Travel(Length.ofMm(20), Length.ofMm(4_000));

  private QualityStations() {}

  static StationConfig station(QualityConfig quality) {
    return station(
        quality,
        Calibration.TRUE,
        new OpcUaLinkConfig(
            "opc.tcp://127.0.0.1:4840",
            OpcUaLinkConfig.DEFAULT_NAMESPACE,
            Map.of(),
            OpcUaLinkConfig.DEFAULT_PUBLISHING,
            Duration.ofSeconds(4)));
  }

  static StationConfig station(QualityConfig quality, Calibration calibration, LinkConfig link) {
    return new StationConfig(
        "saw1",
        Layout.OUTFEED_STOP,
        Length.ofMm(3),
        Length.ZERO,
        Length.ZERO,
        true,
        TRAVEL,
        calibration,
        WINDOW,
        quality,
        MovesConfig.NONE,
        Duration.ofSeconds(3),
        StopMotion.LIGHT,
        null,
        OperatorConfig.DEFAULT,
        link);
  }

  static QualityConfig asking(int dwellMillis, int settleMillis, QualityConfig.From from) {
    return new QualityConfig(
        Duration.ofMillis(dwellMillis), Duration.ofMillis(settleMillis), from, Length.ofMm(2));
  }
}
