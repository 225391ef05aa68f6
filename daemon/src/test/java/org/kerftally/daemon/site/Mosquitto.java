package org.kerftally.daemon.site;

import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Assumptions;
import org.kerftally.protocol.broker.Authority;
import org.kerftally.protocol.broker.Authority.Issued;

/**
 * Runs this machine's own Mosquitto as a process that can be killed and started anew. It keeps
 * nothing on disk: one that comes back has forgotten every session and every retained message.
 */
public final class Mosquitto {

  private static final Path PROGRAM = Path.of("/usr/sbin/mosquitto");
  private static final Path PASSWORDS = Path.of("/usr/bin/mosquitto_passwd");
  private static final Duration PATIENCE = Duration.ofSeconds(30);

  private final Programs programs;
  private final Path config;
  private final int port;
  private @Nullable Process process;

  private Mosquitto(Programs programs, Path folder, int port, List<String> access)
      throws IOException {
    this.programs = programs;
    this.port = port;
    this.config = folder.resolve("mosquitto.conf");
    List<String> lines = new ArrayList<>();
    lines.add("listener " + port + " 127.0.0.1");
    // Started by root it would become somebody who cannot read a test's folder.
    lines.add("user " + System.getProperty("user.name"));
    lines.addAll(access);
    Files.write(config, lines);
  }

  /** Skips a test where there is none, or fails it where every peer is required. */
  public static void require() {
    boolean present = Files.isExecutable(PROGRAM);
    if (!present && Boolean.getBoolean("kerftally.require.peers")) {
      throw new AssertionError("kerftally.require.peers is set, and there is no " + PROGRAM);
    }
    Assumptions.assumeTrue(present, "skipped: there is no " + PROGRAM);
  }

  /** Makes a broker that lets anybody in; it does not run yet. */
  public static Mosquitto open(Programs programs, Path folder) throws IOException {
    return new Mosquitto(programs, folder, Programs.freePort(), List.of("allow_anonymous true"));
  }

  /** Makes one that speaks TLS, asks for a certificate of an authority and lets one user in. */
  public static Mosquitto secured(
      Programs programs, Path folder, Authority authority, String user, Path passwordFile)
      throws IOException, InterruptedException {
    Issued own = authority.issue("broker", "127.0.0.1");
    Path ca = Files.writeString(folder.resolve("broker-ca.pem"), authority.pem());
    Path certificate = Files.writeString(folder.resolve("broker.pem"), own.certificatePem());
    Path key = Files.writeString(folder.resolve("broker.key"), own.keyPem());
    Path users = folder.resolve("broker.users");
    Files.writeString(users, user + ":" + Files.readString(passwordFile).strip() + "\n");
    Process hash =
        programs.start("mosquitto_passwd", List.of(PASSWORDS.toString(), "-U", users.toString()));
    if (!hash.waitFor(PATIENCE.toSeconds(), TimeUnit.SECONDS) || hash.exitValue() != 0) {
      throw new IllegalStateException("mosquitto_passwd: " + programs.said("mosquitto_passwd"));
    }
    return new Mosquitto(
        programs,
        folder,
        Programs.freePort(),
        List.of(
            "cafile " + ca,
            "certfile " + certificate,
            "keyfile " + key,
            "require_certificate true",
            "allow_anonymous false",
            "password_file " + users));
  }

  /** Returns the port it listens on. */
  public int port() {
    return port;
  }

  /** Starts it and waits until it takes connections. */
  public void start() throws IOException {
    Process started =
        programs.start("mosquitto", List.of(PROGRAM.toString(), "-c", config.toString()));
    process = started;
    await("the broker takes connections")
        .atMost(PATIENCE)
        .pollInterval(Duration.ofMillis(20))
        .until(() -> isListening(started));
  }

  private boolean isListening(Process started) throws IOException {
    if (!started.isAlive()) {
      throw new IllegalStateException("mosquitto ended: " + programs.said("mosquitto"));
    }
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), port)) {
      return socket.isConnected();
    } catch (IOException e) {
      return false;
    }
  }

  /** Kills it: it says goodbye to nobody. */
  public void kill() throws InterruptedException {
    Process running = process;
    if (running != null) {
      Programs.kill(running);
    }
  }
}
