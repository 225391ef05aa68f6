package org.kerftally.protocol.broker;

import com.github.dockerjava.api.command.CreateContainerCmd;
import com.github.dockerjava.api.model.ExposedPort;
import com.github.dockerjava.api.model.HostConfig;
import com.github.dockerjava.api.model.PortBinding;
import com.github.dockerjava.api.model.Ports;
import java.security.GeneralSecurityException;
import java.security.SecureRandom;
import java.time.Duration;
import java.util.Base64;
import java.util.Objects;
import javax.crypto.SecretKeyFactory;
import javax.crypto.spec.PBEKeySpec;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Assumptions;
import org.kerftally.protocol.broker.Authority.Issued;
import org.testcontainers.DockerClientFactory;
import org.testcontainers.containers.GenericContainer;
import org.testcontainers.containers.output.OutputFrame;
import org.testcontainers.containers.wait.strategy.Wait;
import org.testcontainers.images.builder.Transferable;
import org.testcontainers.utility.DockerImageName;

/**
 * Runs Mosquitto in a container: a broker that none of this project's code is part of.
 *
 * <p>The image is the system property {@code kerftally.mosquitto.image}. Without Docker a test that
 * starts a broker is skipped and says so; with {@code kerftally.require.peers=true} it fails. The
 * broker keeps nothing on disk, so that one that is stopped and started anew has forgotten every
 * session and every retained message, as a broker without persistence has.
 */
public final class MosquittoBroker implements AutoCloseable {

  private static final String HOST = "127.0.0.1";
  private static final int PORT = 1883;
  private static final String CONFIG = "/etc/mosquitto/kerftally.conf";
  private static final String PASSWORDS = "/etc/mosquitto/kerftally.passwords";
  private static final Duration START_TIMEOUT = Duration.ofSeconds(60);

  private static final String AUTHORITY = "/etc/mosquitto/kerftally.ca.pem";
  private static final String CERTIFICATE = "/etc/mosquitto/kerftally.pem";
  private static final String KEY = "/etc/mosquitto/kerftally.key";

  private final GenericContainer<?> container;
  private final String scheme;

  private MosquittoBroker(
      String access, String passwords, @Nullable Authority clients, @Nullable Issued own) {
    scheme = own == null ? "tcp" : "ssl";
    String image = System.getProperty("kerftally.mosquitto.image", "eclipse-mosquitto:2.0");
    String config = "listener " + PORT + " 0.0.0.0\n" + access;
    container =
        new GenericContainer<>(DockerImageName.parse(image))
            .withExposedPorts(PORT)
            .withCopyToContainer(Transferable.of(config), CONFIG)
            .withCopyToContainer(Transferable.of(passwords), PASSWORDS)
            .withCopyToContainer(Transferable.of(clients == null ? "" : clients.pem()), AUTHORITY)
            .withCopyToContainer(
                Transferable.of(own == null ? "" : own.certificatePem()), CERTIFICATE)
            .withCopyToContainer(Transferable.of(own == null ? "" : own.keyPem()), KEY)
            .withCommand("-c", CONFIG)
            .withCreateContainerCmdModifier(MosquittoBroker::onLoopback)
            .waitingFor(
                Wait.forLogMessage(".*mosquitto version .* running.*", 1)
                    .withStartupTimeout(START_TIMEOUT));
  }

  // The program itself, whatever the image starts with, reached from this machine alone.
  private static void onLoopback(CreateContainerCmd command) {
    command.withEntrypoint("/usr/sbin/mosquitto");
    HostConfig host = Objects.requireNonNull(command.getHostConfig());
    host.withPortBindings(new PortBinding(Ports.Binding.bindIp(HOST), ExposedPort.tcp(PORT)));
  }

  /** Starts a broker that lets anybody in. Skips or fails the test where there is no Docker. */
  public static MosquittoBroker start() {
    return started("allow_anonymous true\n", "", null, null);
  }

  /** Starts a broker that lets one user in. Skips or fails the test where there is no Docker. */
  public static MosquittoBroker startFor(String user, String password) {
    return started(
        "allow_anonymous false\npassword_file " + PASSWORDS + "\n",
        user + ":" + hashed(password) + "\n",
        null,
        null);
  }

  /**
   * Starts a broker that speaks TLS alone and lets one user in.
   *
   * @param own what the broker shows
   * @param clients the authority that clients' certificates have to come from, or {@code null} when
   *     the broker asks for none
   */
  public static MosquittoBroker startSecured(
      Issued own, @Nullable Authority clients, String user, String password) {
    String asked = "cafile " + AUTHORITY + "\nrequire_certificate true\n";
    return started(
        "certfile "
            + CERTIFICATE
            + "\nkeyfile "
            + KEY
            + "\n"
            + (clients == null ? "" : asked)
            + "allow_anonymous false\npassword_file "
            + PASSWORDS
            + "\n",
        user + ":" + hashed(password) + "\n",
        clients,
        own);
  }

  private static MosquittoBroker started(
      String access, String passwords, @Nullable Authority clients, @Nullable Issued own) {
    requireDocker();
    MosquittoBroker broker = new MosquittoBroker(access, passwords, clients, own);
    broker.container.start();
    return broker;
  }

  // The form of mosquitto_passwd(1) in Mosquitto 2: PBKDF2 with SHA-512 as $7$rounds$salt$hash.
  private static String hashed(String password) {
    byte[] salt = new byte[12];
    new SecureRandom().nextBytes(salt);
    int rounds = 101;
    try {
      byte[] hash =
          SecretKeyFactory.getInstance("PBKDF2WithHmacSHA512")
              .generateSecret(new PBEKeySpec(password.toCharArray(), salt, rounds, 512))
              .getEncoded();
      Base64.Encoder base64 = Base64.getEncoder();
      return String.join(
          "$", "", "7", "" + rounds, base64.encodeToString(salt), base64.encodeToString(hash));
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException(e);
    }
  }

  private static void requireDocker() {
    boolean present = DockerClientFactory.instance().isDockerAvailable();
    if (!present && Boolean.getBoolean("kerftally.require.peers")) {
      throw new AssertionError("kerftally.require.peers is set, and no Docker daemon answers");
    }
    Assumptions.assumeTrue(present, "skipped: no Docker daemon answers, so no broker can be run");
  }

  /** Returns the host the broker listens on, as seen from here. */
  public String host() {
    return HOST;
  }

  /** Returns the port the broker listens on, as seen from here. */
  public int port() {
    return container.getMappedPort(PORT);
  }

  /** Returns the broker's address as a link is configured with it. */
  public String url() {
    return scheme + "://" + host() + ":" + port();
  }

  /** Kills the broker at once: it says goodbye to nobody. */
  public void kill() {
    container.getDockerClient().killContainerCmd(container.getContainerId()).exec();
  }

  /** Returns what the broker wrote of itself, for the text of a failure. */
  public String log() {
    return container.getLogs(OutputFrame.OutputType.STDERR);
  }

  @Override
  public void close() {
    container.stop();
  }
}
