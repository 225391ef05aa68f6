package org.kerftally.protocol.mqtt;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Map;
import org.kerftally.config.ClientKey;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.MqttTlsConfig;
import org.kerftally.config.PlainText;
import org.kerftally.config.SecretPlace;
import org.kerftally.protocol.broker.Authority;
import org.kerftally.protocol.broker.Authority.Issued;
import org.kerftally.protocol.broker.MosquittoBroker;
import org.kerftally.sim.mqtt.BrokerAccess;

/**
 * Runs a broker that speaks TLS, asks for a certificate and lets one user in, with everything a
 * link and a device need to convince it.
 */
final class TlsRig implements AutoCloseable {

  static final String USER = "saw1";
  static final String PASSWORD = "acacia honey";

  private final Path folder;
  private final Authority authority = new Authority("Shop authority");
  private final MosquittoBroker broker;
  private final Path caFile;
  private final Path password;
  private final ClientKey pem;
  private final ClientKey store;

  private TlsRig(Path folder) throws IOException {
    this.folder = folder;
    caFile = Files.writeString(folder.resolve("ca.pem"), authority.pem());
    password = Files.writeString(folder.resolve("password"), PASSWORD + "\n");
    pem = pem("kerftally", authority.issue("kerftally"));
    Path word = Files.writeString(folder.resolve("store.password"), "clover");
    store =
        new ClientKey(
            authority.issue("positioner").store(folder.resolve("positioner.p12"), "clover"),
            null,
            new SecretPlace(word, null));
    broker =
        MosquittoBroker.startSecured(
            authority.issue("broker", "127.0.0.1"), authority, USER, PASSWORD);
  }

  /** Starts the broker. Skips or fails the test where there is no Docker. */
  static TlsRig start(Path folder) throws IOException {
    return new TlsRig(folder);
  }

  MosquittoBroker broker() {
    return broker;
  }

  Authority authority() {
    return authority;
  }

  /** Writes a certificate and its key as two files in PEM. */
  ClientKey pem(String name, Issued issued) throws IOException {
    Path certificate = folder.resolve(name + ".pem");
    Path key = folder.resolve(name + ".key");
    Files.writeString(certificate, issued.certificatePem());
    Files.writeString(key, issued.keyPem());
    return new ClientKey(certificate, key, null);
  }

  /** Returns what the broker is content with, the key in PEM. */
  MqttTlsConfig tls() {
    return new MqttTlsConfig(caFile, pem);
  }

  Path caFile() {
    return caFile;
  }

  Path passwordFile() {
    return password;
  }

  /** Returns a link's way to the broker. */
  MqttLinkConfig config(String prefix) {
    return config(broker.url(), prefix, tls(), password);
  }

  static MqttLinkConfig config(String url, String prefix, MqttTlsConfig tls, Path password) {
    return new MqttLinkConfig(
        url,
        prefix,
        Map.of(),
        USER,
        password,
        Duration.ofSeconds(2),
        MqttRig.TIMEOUT,
        null,
        tls,
        PlainText.REFUSED,
        org.kerftally.config.wiring.WiringConfig.CONTRACT);
  }

  /** Returns the device's way to the broker, its key in a PKCS#12 store. */
  BrokerAccess access() {
    return new BrokerAccess(
        broker.url(), new MqttTlsConfig(caFile, store), USER, new SecretPlace(password, null));
  }

  @Override
  public void close() {
    broker.close();
  }
}
