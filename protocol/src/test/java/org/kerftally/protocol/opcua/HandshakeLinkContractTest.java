package org.kerftally.protocol.opcua;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Nested;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.OpcUaSecurity;
import org.kerftally.config.PlainText;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.MoveConfig.How;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.protocol.LinkContract;
import org.kerftally.protocol.plc.PlcNamespace;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;

/**
 * Holds each handshake over OPC UA to the contract of every link, against a controller that keeps
 * it. What a device without numbers cannot know is what the configuration says is lost, and no
 * more.
 */
final class HandshakeLinkContractTest {

  private HandshakeLinkContractTest() {}

  /** A link that hands targets over by one handshake. */
  abstract static class Contract extends LinkContract {

    private static final Duration TIMEOUT = Duration.ofSeconds(20);

    private final MoveConfig move;
    private final boolean isNumbered;
    private int port;

    Contract(How how, boolean toggle, boolean isNumbered) {
      this.move = PlcNamespace.move(how, toggle);
      this.isNumbered = isNumbered;
    }

    @Override
    protected DeviceServer serve(SimDevice device) {
      OpcUaDeviceServer server =
          new OpcUaDeviceServer(device, port, s -> PlcNamespace.on(s, device, move));
      port = server.port();
      return server;
    }

    @Override
    protected LinkConfig config() {
      Set<StandIn> lacks =
          isNumbered ? Set.of() : Set.of(StandIn.ACTIVE_SEQUENCE, StandIn.LAST_CUT);
      return new OpcUaLinkConfig(
          "opc.tcp://127.0.0.1:" + port,
          OpcUaLinkConfig.DEFAULT_NAMESPACE,
          Map.of(),
          OpcUaLinkConfig.DEFAULT_PUBLISHING,
          TIMEOUT,
          OpcUaSecurity.NONE,
          null,
          PlainText.REFUSED,
          new WiringConfig(Map.of(), lacks, move));
    }

    @Override
    protected String outOfTravel() {
      return "error";
    }

    @Override
    protected DeviceSnapshot truth() {
      DeviceSnapshot now = device().snapshot();
      return isNumbered ? now : now.withLastCut(null);
    }

    @Override
    protected long heldOverAReconnect(long seq) {
      return isNumbered ? seq : 0;
    }

    /** Watched, a cut is the device's by power-up and count, or it is not known. */
    @Override
    protected void assertSameCut(@Nullable LastCut actual, @Nullable LastCut expected) {
      if (isNumbered) {
        super.assertSameCut(actual, expected);
        return;
      }
      LastCut made = device().snapshot().lastCut();
      assertThat(made).isNotNull();
      if (actual != null) {
        assertThat(actual.boot()).isEqualTo(made.boot());
        assertThat(actual.count()).isEqualTo(made.count());
      }
    }
  }

  @Nested
  final class Strobe extends Contract {
    Strobe() {
      super(How.STROBE, false, false);
    }
  }

  @Nested
  final class Toggle extends Contract {
    Toggle() {
      super(How.STROBE, true, false);
    }
  }

  @Nested
  final class Sequence extends Contract {
    Sequence() {
      super(How.SEQUENCE, false, true);
    }
  }

  @Nested
  final class PlcOpen extends Contract {
    PlcOpen() {
      super(How.PLCOPEN, false, false);
    }
  }
}
