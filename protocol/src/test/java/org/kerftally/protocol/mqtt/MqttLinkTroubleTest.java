package org.kerftally.protocol.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assertions.assertTimeout;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.awaitility.Awaitility;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.shared.device.LinkEvent;

/** Brokers that are no brokers: absent, silent, or something else altogether. */
class MqttLinkTroubleTest {

  private static final int PATIENCE_SECONDS = 60;

  private final BlockingQueue<LinkEvent> events = new LinkedBlockingQueue<>();
  private final List<Socket> taken = new CopyOnWriteArrayList<>();
  private ServerSocket listener;
  private MqttLink link;

  @BeforeEach
  void listen() throws IOException {
    listener = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
  }

  @AfterEach
  void closeAll() throws IOException {
    if (link != null) {
      link.close();
    }
    listener.close();
    for (Socket socket : taken) {
      socket.close();
    }
  }

  @Test
  void absentBrokerIsNamed() throws Exception {
    listener.close();
    start(config(null, null));

    LinkEvent.Down down = (LinkEvent.Down) next();
    assertThat(down.reason()).contains("127.0.0.1:" + listener.getLocalPort());
  }

  /** Something listens, takes the connection and says nothing. */
  @Test
  void silentServerIsGivenUpAndTriedAgain() throws Exception {
    answerWith(new byte[0]);
    start(config(null, null));

    assertThat(((LinkEvent.Down) next()).reason()).isNotEmpty();
    Awaitility.await().atMost(Duration.ofSeconds(PATIENCE_SECONDS)).until(() -> taken.size() >= 3);
    assertThat(events).isEmpty();
  }

  @Test
  void serverThatSpeaksSomethingElseIsGivenUpAndTriedAgain() throws Exception {
    answerWith("HTTP/1.1 400 Bad Request\r\n\r\n".getBytes(StandardCharsets.US_ASCII));
    start(config(null, null));

    assertThat(((LinkEvent.Down) next()).reason()).isNotEmpty();
    Awaitility.await().atMost(Duration.ofSeconds(PATIENCE_SECONDS)).until(() -> taken.size() >= 3);
    assertThat(events).isEmpty();
  }

  @Test
  void closingIsBoundedWhileABrokerSaysNothing() throws Exception {
    answerWith(new byte[0]);
    start(config(null, null));
    Awaitility.await().atMost(Duration.ofSeconds(PATIENCE_SECONDS)).until(() -> !taken.isEmpty());

    assertTimeout(Duration.ofSeconds(PATIENCE_SECONDS), link::close);
    events.clear();
    listener.close();
    assertThat(events).isEmpty();
  }

  /**
   * The client library leaves a thread behind when a connection ends while it is still starting its
   * threads: when the broker resets at once, and when the link is closed at that moment.
   */
  @Test
  void connectionsThatEndAtOnceLeaveNoThreadsBehind() throws Exception {
    resetEach();
    start(config(null, null));
    Awaitility.await().atMost(Duration.ofSeconds(PATIENCE_SECONDS)).until(() -> taken.size() >= 5);
    link.close();

    Awaitility.await()
        .atMost(Duration.ofSeconds(PATIENCE_SECONDS))
        .until(
            () ->
                Thread.getAllStackTraces().keySet().stream()
                    .noneMatch(thread -> thread.getName().startsWith("MQTT ")));
  }

  @Test
  void missingPasswordFileIsNamed(@TempDir Path folder) throws Exception {
    Path file = folder.resolve("broker.password");
    start(config("saw1", file));

    assertThat(((LinkEvent.Down) next()).reason()).contains(file.toString());
  }

  private void start(MqttLinkConfig config) {
    link =
        new MqttLink(
            "saw1", config, org.kerftally.shared.length.Length.ofNm(100_000), Clock.systemUTC());
    link.start(events::add);
  }

  private MqttLinkConfig config(String user, Path passwordFile) {
    return new MqttLinkConfig(
        "tcp://127.0.0.1:" + listener.getLocalPort(),
        "p/",
        Map.of(),
        user,
        passwordFile,
        Duration.ofSeconds(1),
        Duration.ofSeconds(1),
        null);
  }

  private LinkEvent next() throws InterruptedException {
    LinkEvent event = events.poll(PATIENCE_SECONDS, TimeUnit.SECONDS);
    assertThat(event).isNotNull();
    return event;
  }

  private void answerWith(byte[] answer) {
    takeEach(socket -> socket.getOutputStream().write(answer));
  }

  private void resetEach() {
    takeEach(
        socket -> {
          socket.setSoLinger(true, 0);
          socket.close();
        });
  }

  private void takeEach(Treatment treatment) {
    Thread thread =
        new Thread(
            () -> {
              try {
                while (true) {
                  Socket socket = listener.accept();
                  treatment.apply(socket);
                  taken.add(socket);
                }
              } catch (IOException e) {
                // The test is over.
              }
            });
    thread.setDaemon(true);
    thread.start();
  }

  private interface Treatment {
    void apply(Socket socket) throws IOException;
  }
}
