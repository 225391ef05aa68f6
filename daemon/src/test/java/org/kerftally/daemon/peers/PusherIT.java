package org.kerftally.daemon.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ushort;

import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.Duration;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** The pusher keeps what {@code src/test/peers/pusher.md} says of it. */
@Timeout(300)
final class PusherIT {

  private static final Duration PATIENCE = Duration.ofSeconds(60);
  private static final Duration GLANCE = Duration.ofMillis(20);
  private static final String NODE = "nsu=urn:example:pusher;i=";
  private static final String ACTUAL_POSITION = "101";
  private static final String REFERENCED = "103";
  private static final String EXECUTE = "201";
  private static final String POSITION = "202";
  private static final String BUSY = "203";
  private static final String DONE = "204";
  private static final String ERROR = "206";
  private static final String ERROR_ID = "207";
  private static final String CUT_MADE = "301";
  private static final String RESET = "401";
  private static final int OUT_OF_TRAVEL = 0x13;

  /** Encoder counts of 505 mm: 400000 - 80 * 505. */
  private static final int COUNTS = 359_600;

  @TempDir private static Path folder;

  private static NodePeer device;
  private static UaClient client;

  @BeforeAll
  static void start() throws Exception {
    NodePeer.require();
    device = NodePeer.pusher(folder, "--speed", "20");
    client = UaClient.open(device.endpoint());
    awaitValue(REFERENCED, true);
  }

  @AfterAll
  static void end() throws Exception {
    if (client != null) {
      client.close();
    }
    if (device != null) {
      device.close();
    }
  }

  private static Object read(String name) throws Exception {
    return client.read(NODE + name);
  }

  private static void write(String name, Variant value) throws Exception {
    assertThat(client.write(NODE + name, value).isGood()).as(name).isTrue();
  }

  private static void awaitValue(String name, boolean value) {
    await().atMost(PATIENCE).pollInterval(GLANCE).until(() -> read(name).equals(value));
  }

  @Test
  void aMoveIsDoneAtItsCountAndThenCutWithAPulse() throws Exception {
    int before = device.truth().size();
    write(POSITION, Variant.ofInt32(COUNTS));
    write(EXECUTE, Variant.ofBoolean(true));
    awaitValue(DONE, true);

    assertThat((int) read(ACTUAL_POSITION)).isBetween(COUNTS - 2, COUNTS + 2);
    assertThat(read(BUSY)).isEqualTo(false);
    awaitValue(CUT_MADE, true);
    assertThat(device.truth())
        .hasSize(before + 1)
        .last()
        .satisfies(
            cut -> {
              assertThat(cut.count()).isEqualTo(before + 1);
              assertThat(cut.position())
                  .isBetween(BigDecimal.valueOf(COUNTS - 2), BigDecimal.valueOf(COUNTS + 2));
            });
    awaitValue(CUT_MADE, false);

    write(EXECUTE, Variant.ofBoolean(false));
    awaitValue(DONE, false);
    assertThat(device.truth()).hasSize(before + 1);
  }

  @Test
  void aMoveOutsideTheTravelIsAnErrorUntilExecuteFalls() throws Exception {
    Object position = read(ACTUAL_POSITION);
    int cuts = device.truth().size();

    write(POSITION, Variant.ofInt32(400_001));
    write(EXECUTE, Variant.ofBoolean(true));
    awaitValue(ERROR, true);
    assertThat(read(ERROR_ID)).isEqualTo(ushort(OUT_OF_TRAVEL));
    assertThat(read(ACTUAL_POSITION)).isEqualTo(position);

    write(EXECUTE, Variant.ofBoolean(false));
    awaitValue(ERROR, false);
    assertThat(read(ERROR_ID)).isEqualTo(ushort(0));
    assertThat(device.truth()).hasSize(cuts);
  }

  @Test
  void itsButtonIsPressedByItself() {
    awaitValue(RESET, true);
    awaitValue(RESET, false);
  }
}
