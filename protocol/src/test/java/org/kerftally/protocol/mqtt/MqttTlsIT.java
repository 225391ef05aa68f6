package org.kerftally.protocol.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.UUID;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.MqttTlsConfig;
import org.kerftally.protocol.Witness;
import org.kerftally.protocol.broker.Authority;
import org.kerftally.protocol.broker.Authority.Issued;
import org.kerftally.protocol.broker.MosquittoBroker;
import org.kerftally.protocol.broker.TcpRelay;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.MqttDevice;

/** Whom a link over TLS believes, what it shows, and what it says where either is wrong. */
class MqttTlsIT {

  private static final Duration PATIENCE = Duration.ofSeconds(60);
  private static final Duration OVER = Duration.ofDays(-1);

  @TempDir private static Path folder;
  private static TlsRig rig;

  private final String prefix = "test/" + UUID.randomUUID() + "/";
  private final Witness seen = new Witness();
  private final List<AutoCloseable> open = new ArrayList<>();

  @BeforeAll
  static void startBroker() throws IOException {
    rig = TlsRig.start(folder);
  }

  @AfterAll
  static void stopBroker() {
    if (rig != null) {
      rig.close();
    }
  }

  @AfterEach
  void closeAll() throws Exception {
    for (int i = open.size() - 1; i >= 0; i--) {
      open.get(i).close();
    }
  }

  @Test
  void aConnectionThatIsCutComesBackOverTls() {
    TcpRelay relay = opened(new TcpRelay("127.0.0.1", rig.broker().port()));
    String url = "ssl://127.0.0.1:" + URI.create(relay.url()).getPort();
    SimDevice device =
        opened(SimDevice.open(SimConfig.standard("saw1").withOperator(OperatorModel.ABSENT)));
    opened(new MqttDevice(device, rig.access(), prefix));
    start(TlsRig.config(url, prefix, rig.tls(), rig.passwordFile()));
    await().atMost(PATIENCE).until(() -> seen.ups() == 1);

    relay.cut();

    await().atMost(PATIENCE).until(() -> seen.ups() == 2);
    assertThat(seen.downs()).isEqualTo(1);
  }

  @Test
  void aBrokerFromAnotherAuthorityIsNotBelieved() throws IOException {
    Path other = Files.writeString(folder.resolve("other-ca.pem"), new Authority("Somebody").pem());
    MqttTlsConfig tls = new MqttTlsConfig(other, rig.tls().clientKey());

    assertThat(reason(TlsRig.config(rig.broker().url(), prefix, tls, rig.passwordFile())))
        .startsWith("broker " + rig.broker().url() + ": its certificate, SHA-256 ")
        .contains("issued by \"CN=Shop authority\"")
        .contains("does not come from an authority in " + other)
        .contains("put its authority's certificate there");
  }

  @Test
  void anAuthorityThatNobodyNamedIsNotBelieved() {
    MqttTlsConfig tls = new MqttTlsConfig(null, rig.tls().clientKey());

    assertThat(reason(TlsRig.config(rig.broker().url(), prefix, tls, rig.passwordFile())))
        .contains("an authority that Java believes; name yours under tls.ca-file");
  }

  @Test
  void aBrokerWhoseCertificateExpiredIsNotBelieved() {
    Issued expired = rig.authority().issue("broker", OVER, "127.0.0.1");

    assertThat(reason(withBroker(expired)))
        .contains("its certificate expired on 20")
        .contains("have it renewed");
  }

  @Test
  void aBrokerThatIsAnotherHostIsNotBelieved() {
    Issued foreign = rig.authority().issue("127.0.0.1", "broker.example", "127.0.0.2");

    assertThat(reason(withBroker(foreign)))
        .contains("its certificate is that of another host")
        .contains("127.0.0.1")
        .contains("write the host's name as the certificate has it");
  }

  @Test
  void aWrongPasswordIsNamedByItsPlace() throws IOException {
    Path wrong = Files.writeString(folder.resolve("wrong.password"), "lime honey\n");

    assertThat(reason(TlsRig.config(rig.broker().url(), prefix, rig.tls(), wrong)))
        .containsIgnoringCase("not authorized")
        .contains("check the user saw1 and the password in the file " + wrong)
        .doesNotContain("lime honey");
  }

  @Test
  void aCertificateThatTheBrokerWantsIsAskedFor() {
    MqttTlsConfig tls = new MqttTlsConfig(rig.caFile(), null);

    assertThat(reason(TlsRig.config(rig.broker().url(), prefix, tls, rig.passwordFile())))
        .contains("asks for a certificate")
        .contains("tls.certificate-file");
  }

  @Test
  void aCertificateThatTheBrokerRefusesIsNamed() throws IOException {
    MqttTlsConfig foreign =
        new MqttTlsConfig(
            rig.caFile(), rig.pem("foreign", new Authority("Somebody").issue("kerftally")));
    MqttTlsConfig expired =
        new MqttTlsConfig(
            rig.caFile(), rig.pem("expired", rig.authority().issue("kerftally", OVER)));

    for (MqttTlsConfig tls : List.of(foreign, expired)) {
      assertThat(reason(TlsRig.config(rig.broker().url(), prefix, tls, rig.passwordFile())))
          .contains("refused the certificate in " + tls.clientKey().certificateFile());
    }
  }

  @Test
  void aKeyThatCannotBeUsedIsNamed() throws IOException {
    Path key = Files.writeString(folder.resolve("none.key"), "nothing");
    MqttTlsConfig tls =
        new MqttTlsConfig(
            rig.caFile(),
            new org.kerftally.config.ClientKey(rig.tls().clientKey().certificateFile(), key, null));

    assertThat(reason(TlsRig.config(rig.broker().url(), prefix, tls, rig.passwordFile())))
        .contains(key + " holds no private key in PEM");
  }

  @Test
  void aBrokerThatSpeaksInClearIsTold() {
    MosquittoBroker clear = opened(MosquittoBroker.start());
    String url = "ssl://127.0.0.1:" + clear.port();

    assertThat(reason(TlsRig.config(url, prefix, rig.tls(), rig.passwordFile())))
        .startsWith("broker " + url)
        .contains("check the port");
  }

  @Test
  void aBrokerThatSpeaksTlsIsTold() {
    String url = "tcp://127.0.0.1:" + rig.broker().port();

    assertThat(reason(MqttRig.config(url, prefix))).contains("if it wants TLS, write ssl://");
  }

  private MqttLinkConfig withBroker(Issued own) {
    MosquittoBroker broker =
        opened(MosquittoBroker.startSecured(own, null, TlsRig.USER, TlsRig.PASSWORD));
    return TlsRig.config(broker.url(), prefix, rig.tls(), rig.passwordFile());
  }

  private String reason(MqttLinkConfig config) {
    Witness witness = new Witness();
    MqttLink link =
        opened(
            new MqttLink(
                "saw1",
                config,
                org.kerftally.shared.length.Length.ofNm(100_000),
                Clock.systemUTC()));
    link.start(witness);
    await().atMost(PATIENCE).until(() -> witness.downs() == 1);
    return witness.all(LinkEvent.Down.class).get(0).reason();
  }

  private void start(MqttLinkConfig config) {
    opened(
            new MqttLink(
                "saw1",
                config,
                org.kerftally.shared.length.Length.ofNm(100_000),
                Clock.systemUTC()))
        .start(seen);
  }

  private <T extends AutoCloseable> T opened(T closeable) {
    open.add(closeable);
    return closeable;
  }
}
