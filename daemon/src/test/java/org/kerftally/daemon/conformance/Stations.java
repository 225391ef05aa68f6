package org.kerftally.daemon.conformance;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.Map;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.MovesConfig;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.OperatorConfig;
import org.kerftally.config.QualityConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.StopMotion;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

/** Stations as a configuration describes them. */
final class Stations {

  static final OpcUaLinkConfig LINK =
      new OpcUaLinkConfig(
          "opc.tcp://127.0.0.1:4840",
          OpcUaLinkConfig.DEFAULT_NAMESPACE,
          Map.of(),
          OpcUaLinkConfig.DEFAULT_PUBLISHING,
          Duration.ofSeconds(4));

  private Stations() {}

  static StationConfig standard() {
    return with(Length.ZERO, QualityConfig.NONE);
  }

  static StationConfig overMqtt() {
    MqttLinkConfig link =
        new MqttLinkConfig(
            "tcp://127.0.0.1:1883",
            MqttLinkConfig.defaultPrefix("saw1"),
            Map.of(),
            null,
            null,
            MqttLinkConfig.DEFAULT_KEEP_ALIVE,
            Duration.ofSeconds(4),
            null);
    return with(Length.ZERO, QualityConfig.NONE, link);
  }

  static StationConfig with(Length offset, QualityConfig quality) {
    return with(offset, quality, LINK);
  }

  private static StationConfig with(Length offset, QualityConfig quality, LinkConfig link) {
    return new StationConfig(
        "saw1",
        Layout.OUTFEED_STOP,
        Length.ofMm(3),
        Length.ZERO,
        Length.ZERO,
        true,
        new Travel(Length.ofMm(20), Length.ofMm(4_000)),
        new Calibration(offset, BigDecimal.ONE, Length.ofNm(1_000)),
        StationConfig.DEFAULT_WINDOW,
        quality,
        MovesConfig.NONE,
        StationConfig.DEFAULT_TARGET_VALIDITY,
        StopMotion.LIGHT,
        null,
        OperatorConfig.DEFAULT,
        link);
  }
}
