package org.kerftally.protocol.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.Callable;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.awaitility.core.ConditionFactory;
import org.eclipse.paho.mqttv5.client.MqttClient;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.protocol.broker.MosquittoBroker;
import org.kerftally.protocol.broker.TcpRelay;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.MqttDevice;

/** What goes wrong between a station, a broker and a device, with a broker that is not ours. */
class MqttLinkIT {

  /** The library's reason code for more unacknowledged messages than it allows itself. */
  private static final int MAX_INFLIGHT = 32202;

  private static final Duration PATIENCE = Duration.ofSeconds(60);
  private static final Clock CLOCK = Clock.systemUTC();

  private static MosquittoBroker broker;

  private final String prefix = "test/" + UUID.randomUUID() + "/";
  private final List<LinkEvent> events = new CopyOnWriteArrayList<>();
  private final BlockingQueue<LinkEvent> fresh = new LinkedBlockingQueue<>();
  private final List<AutoCloseable> open = new ArrayList<>();

  @BeforeAll
  static void startBroker() {
    broker = MosquittoBroker.start();
  }

  @AfterAll
  static void stopBroker() {
    if (broker != null) {
      broker.close();
    }
  }

  @AfterEach
  void closeAll() throws Exception {
    for (int i = open.size() - 1; i >= 0; i--) {
      open.get(i).close();
    }
  }

  @Test
  void brokerThatIsKilledAndReplacedCostsOneDownAndOneUp() throws Exception {
    MosquittoBroker first = opened(MosquittoBroker.start());
    TcpRelay relay = opened(new TcpRelay(first.host(), first.port()));
    SimDevice device = device();
    MqttLink link = link(relay.url());
    opened(new MqttDevice(device, relay.url(), prefix));
    next(LinkEvent.Up.class);

    relay.refuse();
    first.kill();
    assertThat(next(LinkEvent.Down.class).reason()).isNotEmpty();
    assertThat(link.send(target(1, Duration.ofSeconds(3)))).isFalse();

    // A broker that was never there before: it knows no session and no retained message.
    MosquittoBroker second = opened(MosquittoBroker.start());
    relay.admit(second.host(), second.port());
    next(LinkEvent.Up.class);
    assertThat(events).filteredOn(LinkEvent.Down.class::isInstance).hasSize(1);

    // Subscriptions live again on both sides: a target gets there and its answer back.
    eventually(() -> device.snapshot().permitsMove());
    assertThat(link.send(target(2, Duration.ofSeconds(20)))).isTrue();
    assertThat(next(LinkEvent.Replied.class)).isEqualTo(new LinkEvent.Replied(2, true, null));
  }

  @Test
  void networkThatSwallowsEverythingIsNoticed() throws Exception {
    TcpRelay relay = opened(new TcpRelay(broker.host(), broker.port()));
    SimDevice device = device();
    opened(new MqttDevice(device, broker.url(), prefix));
    MqttLink link = link(relay.url());
    next(LinkEvent.Up.class);

    relay.swallow();
    next(LinkEvent.Down.class);
    assertThat(link.send(target(1, Duration.ofSeconds(3)))).isFalse();

    relay.flow();
    next(LinkEvent.Up.class);
  }

  /** What was handed over just before the network stalled must not move the stop afterwards. */
  @Test
  void targetThatTheNetworkHeldBackPastItsValidityIsNeverCarriedOut() throws Exception {
    TcpRelay relay = opened(new TcpRelay(broker.host(), broker.port()));
    SimDevice device = device();
    opened(new MqttDevice(device, broker.url(), prefix));
    MqttLink link = link(relay.url());
    next(LinkEvent.Up.class);
    eventually(() -> device.snapshot().permitsMove());

    relay.swallow();
    assertThat(link.send(target(1, Duration.ofSeconds(1)))).isTrue();
    next(LinkEvent.Down.class);
    relay.flow();
    next(LinkEvent.Up.class);
    assertThat(link.send(target(2, Duration.ofSeconds(20)))).isTrue();
    assertThat(next(LinkEvent.Replied.class).seq()).isEqualTo(2);

    assertThat(device.snapshot().activeSequence()).isEqualTo(2);
    assertThat(device.targetPosition()).isEqualTo(Length.ofMm(502));
  }

  @Test
  void targetThatComesAfterItsValidityIsRefusedByTheDevice() throws Exception {
    SimDevice device = device();
    opened(new MqttDevice(device, broker.url(), prefix));
    link(broker.url());
    next(LinkEvent.Up.class);
    eventually(() -> device.snapshot().permitsMove());
    MqttClient other = client();
    BlockingQueue<String> replies = collect(other, "reply");

    Target late = target(5, Duration.ofSeconds(-2));
    publish(other, "target", StationMessages.target(late), false);
    assertThat(replies.poll(30, TimeUnit.SECONDS))
        .contains("\"seq\":5")
        .contains("\"accepted\":false")
        .contains("validity");
    assertThat(device.snapshot().activeSequence()).isZero();
  }

  @Test
  void retainedTargetIsNeverCarriedOut() throws Exception {
    MqttClient other = client();
    publish(other, "target", StationMessages.target(target(5, Duration.ofMinutes(5))), true);
    BlockingQueue<String> replies = collect(other, "reply");
    SimDevice device = device();
    eventually(() -> device.snapshot().permitsMove());
    opened(new MqttDevice(device, broker.url(), prefix));

    assertThat(replies.poll(30, TimeUnit.SECONDS)).contains("\"accepted\":false");
    assertThat(device.snapshot().activeSequence()).isZero();
  }

  @Test
  void retainedStatusOfADeviceThatLeftBringsNoLinkUp() throws Exception {
    SimDevice device = device();
    MqttDevice served = new MqttDevice(device, broker.url(), prefix);
    MqttLink before = link(broker.url());
    next(LinkEvent.Up.class);
    before.close();
    served.close();
    fresh.clear();

    // Its status lies at the broker, whole and with every permit.
    link(broker.url());
    assertThat(next(LinkEvent.Down.class).reason()).contains("offline");

    opened(new MqttDevice(device, broker.url(), prefix));
    next(LinkEvent.Up.class);
  }

  /** The power goes: nobody says goodbye, and the broker's last will tells of it. */
  @Test
  void deviceThatLosesItsPowerIsDownByItsLastWill() throws Exception {
    SimDevice device = device();
    opened(new MqttDevice(device, broker.url(), prefix));
    link(broker.url());
    String boot = next(LinkEvent.Up.class).snapshot().boot();

    device.powerCycle();
    assertThat(next(LinkEvent.Down.class).reason()).contains("offline");
    assertThat(next(LinkEvent.Up.class).snapshot().boot()).isNotEqualTo(boot);
  }

  /** The will of a connection that died unnoticed comes after the device is long back. */
  @Test
  void lateLastWillOfAnEarlierConnectionIsContradicted() throws Exception {
    SimDevice device = device();
    opened(new MqttDevice(device, broker.url(), prefix));
    link(broker.url());
    next(LinkEvent.Up.class);

    publish(client(), "online", "false".getBytes(StandardCharsets.UTF_8), true);
    next(LinkEvent.Down.class);
    next(LinkEvent.Up.class);
  }

  @Test
  void malformedStatusTakesTheLinkDownUntilAGoodOneComes() throws Exception {
    MqttClient device = client();
    byte[] good = DeviceMessagesTest.STATUS.getBytes(StandardCharsets.UTF_8);
    publish(device, "online", "true".getBytes(StandardCharsets.UTF_8), true);
    publish(device, "status", good, true);
    link(broker.url());
    next(LinkEvent.Up.class);

    publish(device, "status", new byte[MessageFields.MAX_PAYLOAD_BYTES + 1], true);
    assertThat(next(LinkEvent.Down.class).reason()).contains("65537 bytes");
    publish(device, "status", "{\"boot\":1}".getBytes(StandardCharsets.UTF_8), true);
    publish(device, "status", good, true);
    next(LinkEvent.Up.class);
    assertThat(events).filteredOn(LinkEvent.Down.class::isInstance).hasSize(1);
  }

  @Test
  void targetNobodyListensForIsRefusedByTheBroker() throws Exception {
    MqttClient device = client();
    publish(device, "online", "true".getBytes(StandardCharsets.UTF_8), true);
    publish(device, "status", DeviceMessagesTest.STATUS.getBytes(StandardCharsets.UTF_8), true);
    MqttLink link = link(broker.url());
    next(LinkEvent.Up.class);

    assertThat(link.send(target(1, Duration.ofSeconds(20)))).isTrue();
    LinkEvent.Replied reply = next(LinkEvent.Replied.class);
    assertThat(reply.accepted()).isFalse();
    assertThat(reply.reason()).contains("no device listens on " + prefix + "target");
  }

  /** A receiver that stalls costs a reconnect, never memory; nothing is lost by it. */
  @Test
  void floodThatCannotBeTakenEndsInAReconnectWithTheNewestStatus() throws Exception {
    MqttClient device = client();
    publish(device, "online", "true".getBytes(StandardCharsets.UTF_8), true);
    publish(device, "status", status(0), true);
    CountDownLatch stalled = new CountDownLatch(1);
    MqttLink link =
        opened(
            new MqttLink(
                "saw1",
                MqttRig.config(broker.url(), prefix),
                org.kerftally.shared.length.Length.ofNm(100_000),
                CLOCK));
    link.start(
        event -> {
          keep(event);
          if (event instanceof LinkEvent.Snapshot) {
            awaitQuietly(stalled);
          }
        });
    next(LinkEvent.Up.class);

    int last = 2 * MqttLink.MAX_INPUTS;
    for (int count = 1; count <= last; count++) {
      publish(device, "status", status(count), true);
    }
    stalled.countDown();

    assertThat(next(LinkEvent.Down.class).reason()).contains("faster");
    assertThat(next(LinkEvent.Up.class).snapshot().cutCount()).isEqualTo(last);
  }

  @Test
  void userIsLetInWithTheRightPasswordOnly(@TempDir Path folder) throws Exception {
    MosquittoBroker guarded = opened(MosquittoBroker.startFor("saw1", "acacia honey"));
    Path file = Files.writeString(folder.resolve("password"), "lime honey\n");
    MqttLinkConfig config =
        new MqttLinkConfig(
            guarded.url(),
            prefix,
            Map.of(),
            "saw1",
            file,
            Duration.ofSeconds(2),
            MqttRig.TIMEOUT,
            null);
    MqttLink link =
        opened(
            new MqttLink("saw1", config, org.kerftally.shared.length.Length.ofNm(100_000), CLOCK));
    link.start(this::keep);

    assertThat(next(LinkEvent.Down.class).reason())
        .containsIgnoringCase("not authorized")
        .doesNotContain("lime honey");

    // The file is read at every try: mended, the broker takes the link and only the device lacks.
    Files.writeString(file, "acacia honey\n");
    MqttClient device = new MqttClient(guarded.url(), "device", new MemoryPersistence());
    MqttConnectionOptions options = new MqttConnectionOptions();
    options.setUserName("saw1");
    options.setPassword("acacia honey".getBytes(StandardCharsets.UTF_8));
    device.connect(options);
    opened(() -> device.disconnectForcibly(0, 1_000));
    publish(device, "online", "true".getBytes(StandardCharsets.UTF_8), true);
    publish(device, "status", status(1), true);
    next(LinkEvent.Up.class);
  }

  private static byte[] status(int count) {
    return DeviceMessagesTest.STATUS
        .replace("\"count\":12", "\"count\":" + count)
        .replace(
            "\"last_cut\":{\"boot\":\"b-0\",\"count\":0",
            "\"last_cut\":{\"boot\":\"b-0\",\"count\":1")
        .getBytes(StandardCharsets.UTF_8);
  }

  private static void awaitQuietly(CountDownLatch latch) {
    try {
      assertThat(latch.await(PATIENCE.toSeconds(), TimeUnit.SECONDS)).isTrue();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private SimDevice device() {
    return opened(
        SimDevice.open(
            SimConfig.standard("saw1").withSpeed(40).withOperator(OperatorModel.ABSENT)));
  }

  private MqttLink link(String url) {
    MqttLink link =
        opened(
            new MqttLink(
                "saw1",
                MqttRig.config(url, prefix),
                org.kerftally.shared.length.Length.ofNm(100_000),
                CLOCK));
    link.start(this::keep);
    return link;
  }

  private void keep(LinkEvent event) {
    events.add(event);
    fresh.add(event);
  }

  private <T extends AutoCloseable> T opened(T resource) {
    open.add(resource);
    return resource;
  }

  private MqttClient client() throws MqttException {
    MqttClient client =
        new MqttClient(broker.url(), "test-" + UUID.randomUUID(), new MemoryPersistence());
    MqttConnectionOptions options = new MqttConnectionOptions();
    options.setConnectionTimeout(20);
    client.setTimeToWait(20_000);
    client.connect(options);
    opened(
        () -> {
          client.disconnectForcibly(0, 1_000);
          client.close(true);
        });
    return client;
  }

  private BlockingQueue<String> collect(MqttClient client, String topic) throws MqttException {
    BlockingQueue<String> messages = new LinkedBlockingQueue<>();
    client.setCallback(new Collector(messages));
    client.subscribe(prefix + topic, 1);
    return messages;
  }

  /** The library counts an acknowledged message as on its way for a moment more: then again. */
  private void publish(MqttClient client, String topic, byte[] payload, boolean retained)
      throws MqttException {
    for (long until = System.nanoTime() + PATIENCE.toNanos(); ; ) {
      try {
        client.publish(prefix + topic, new MqttMessage(payload, 1, retained, new MqttProperties()));
        return;
      } catch (MqttException e) {
        boolean full = e.getReasonCode() == MAX_INFLIGHT;
        if (!full || System.nanoTime() - until > 0) {
          throw e;
        }
        Thread.onSpinWait();
      }
    }
  }

  /** Waits for the next event of a kind; those of other kinds before it are passed over. */
  private <T extends LinkEvent> T next(Class<T> kind) throws InterruptedException {
    long until = System.nanoTime() + PATIENCE.toNanos();
    while (true) {
      LinkEvent event = fresh.poll(until - System.nanoTime(), TimeUnit.NANOSECONDS);
      if (event == null) {
        throw new AssertionError("no " + kind.getSimpleName() + " came; seen: " + events);
      }
      if (kind.isInstance(event)) {
        return kind.cast(event);
      }
    }
  }

  private static void eventually(Callable<Boolean> condition) {
    patiently().until(condition);
  }

  private static ConditionFactory patiently() {
    return await().atMost(PATIENCE).pollInterval(Duration.ofMillis(5));
  }

  private static Target target(long seq, Duration left) {
    return new Target(
        seq,
        Length.ofMm(500 + seq),
        "super side",
        "comb-honey",
        Instant.now().plus(left),
        left.isNegative() ? Duration.ofSeconds(1) : left);
  }
}
