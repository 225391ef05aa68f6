package org.kerftally.protocol.mqtt;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.MqttLinkConfig;

/**
 * Reads the password of a link when it connects, so that a changed one is taken up without a
 * restart. Holds nothing and has no text form that could be logged.
 */
final class BrokerLogin {

  private static final int MAX_FILE_BYTES = 4096;

  private final @Nullable String user;
  private final @Nullable Path file;
  private final @Nullable String variable;

  BrokerLogin(MqttLinkConfig config) {
    this.user = config.user();
    this.file = config.passwordFile();
    this.variable = config.passwordEnv();
  }

  @Nullable String user() {
    return user;
  }

  /**
   * Returns the password, or {@code null} where none is configured.
   *
   * @throws IOException with a text that names the place and not the secret
   */
  byte @Nullable [] password() throws IOException {
    if (file != null) {
      return fromFile(file);
    }
    if (variable != null) {
      String value = System.getenv(variable);
      if (value == null || value.isEmpty()) {
        throw new IOException("the environment variable " + variable + " holds no password");
      }
      return value.getBytes(StandardCharsets.UTF_8);
    }
    return null;
  }

  private static byte[] fromFile(Path file) throws IOException {
    byte[] bytes;
    try (InputStream in = Files.newInputStream(file)) {
      bytes = in.readNBytes(MAX_FILE_BYTES + 1);
    } catch (IOException e) {
      throw new IOException("the password file " + file + " cannot be read", e);
    }
    if (bytes.length > MAX_FILE_BYTES) {
      throw new IOException("the password file " + file + " is over " + MAX_FILE_BYTES + " bytes");
    }
    String line = new String(bytes, StandardCharsets.UTF_8).lines().findFirst().orElse("");
    if (line.isEmpty()) {
      throw new IOException("the first line of the password file " + file + " is empty");
    }
    return line.getBytes(StandardCharsets.UTF_8);
  }
}
