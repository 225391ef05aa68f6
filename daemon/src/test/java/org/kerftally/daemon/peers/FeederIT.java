package org.kerftally.daemon.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ushort;

import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.Duration;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UInteger;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UShort;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** The feeder keeps what {@code src/test/peers/feeder.md} says of it. */
@Timeout(300)
final class FeederIT {

  private static final Duration PATIENCE = Duration.ofSeconds(60);
  private static final Duration GLANCE = Duration.ofMillis(20);
  private static final String NAMESPACE = "urn:example:feeder";
  private static final String NODE = "nsu=" + NAMESPACE + ";s=";

  /** Common code INH in UNECE recommendation 20, as OPC 10000-8, 5.6.3.3 makes it a number. */
  private static final int INH = 4804168;

  private static final int REACHED = 1 << 10;
  private static final int REFERENCED = 1 << 14;
  private static final int OUT_OF_TRAVEL = 4;

  @TempDir private static Path folder;

  private static NodePeer device;
  private static UaClient client;

  @BeforeAll
  static void start() throws Exception {
    NodePeer.require();
    device = NodePeer.feeder(folder, "--speed", "20");
    client = UaClient.open(device.endpoint());
    await().atMost(PATIENCE).until(() -> (statusWord() & REFERENCED) != 0);
  }

  @AfterAll
  static void end() throws Exception {
    if (client != null) {
      client.close();
    }
    if (device != null) {
      assertThat(device.end()).isZero();
    }
  }

  private static Object read(String name) throws Exception {
    return client.read(NODE + name);
  }

  private static int statusWord() throws Exception {
    return ((UShort) read("Axis1.StatusWord")).intValue();
  }

  private static void write(String name, Variant value) throws Exception {
    assertThat(client.write(NODE + name, value).isGood()).as(name).isTrue();
  }

  private static void awaitValue(String name, Object value) {
    await().atMost(PATIENCE).pollInterval(GLANCE).until(() -> read(name).equals(value));
  }

  /** Strobes a set point and returns the code it is answered with. */
  private static Object strobe(double inches) throws Exception {
    write("Axis1.CmdPos", Variant.ofDouble(inches));
    write("Axis1.CmdGo", Variant.ofBoolean(true));
    awaitValue("Axis1.CmdGoEcho", true);
    Object code = read("Axis1.CmdErr");
    write("Axis1.CmdGo", Variant.ofBoolean(false));
    awaitValue("Axis1.CmdGoEcho", false);
    return code;
  }

  @Test
  void itsNamespaceIsNotTheFirstAndItsPositionsAreInInches() throws Exception {
    assertThat(client.namespace(NAMESPACE)).isGreaterThan(1);
    assertThat(client.unitOf(NODE + "Axis1.ActPos")).isEqualTo(INH);
    assertThat(client.unitOf(NODE + "Axis1.CmdPos")).isEqualTo(INH);
  }

  @Test
  void aSetPointThatIsStrobedIsReachedAndCutOnce() throws Exception {
    int before = ((UInteger) read("Saw.Strokes")).intValue();

    assertThat(strobe(19.875)).isEqualTo(ushort(0));
    awaitValue("Saw.Strokes", uint(before + 1));

    assertThat(statusWord() & REACHED).isNotZero();
    assertThat((double) read("Axis1.ActPos")).isBetween(19.874, 19.876);
    assertThat(device.truth())
        .hasSize(before + 1)
        .last()
        .satisfies(
            cut -> {
              assertThat(cut.count()).isEqualTo(before + 1);
              assertThat(cut.position())
                  .isBetween(new BigDecimal("19.874"), new BigDecimal("19.876"));
            });
  }

  @Test
  void aSetPointOutsideTheTravelIsRefusedWithItsCodeAndMovesNothing() throws Exception {
    Object position = read("Axis1.ActPos");
    int reached = statusWord() & REACHED;
    int cuts = device.truth().size();

    assertThat(strobe(160.5)).isEqualTo(ushort(OUT_OF_TRAVEL));

    assertThat(read("Axis1.ActPos")).isEqualTo(position);
    assertThat(statusWord() & REACHED).isEqualTo(reached);
    assertThat(device.truth()).hasSize(cuts);
  }

  @Test
  void itsButtonsArePressedByItself() {
    awaitValue("Panel.AckButton", true);
    awaitValue("Panel.AckButton", false);
    awaitValue("Panel.StickIn", true);
    awaitValue("Panel.StickIn", false);
  }
}
