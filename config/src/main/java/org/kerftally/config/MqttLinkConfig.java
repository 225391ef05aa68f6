package org.kerftally.config;

import java.nio.file.Path;
import java.time.Duration;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.WiringConfig;

/**
 * States how a device is reached over MQTT 5. Holds where the password is, never the password.
 *
 * @param broker the broker's address, {@code tcp://host:port} or {@code ssl://host:port}
 * @param prefix what stands before every topic, with its closing slash
 * @param topics the full topic of a contract name; a name that is not here is prefix + name
 * @param user the user's name at the broker, or {@code null} for none
 * @param passwordFile the file whose first line is the password, absolute, or {@code null}
 * @param keepAlive how often the connection shows that it lives
 * @param timeout how long a request may wait for its answer
 * @param passwordEnv the environment variable that holds the password, or {@code null}
 * @param tls whom an {@code ssl://} broker has to be, and what it is shown
 * @param plainText whether the link may speak in clear to another machine
 * @param wiring how the device's signals are wired to those of the device contract
 */
public record MqttLinkConfig(
    String broker,
    String prefix,
    Map<String, String> topics,
    @Nullable String user,
    @Nullable Path passwordFile,
    Duration keepAlive,
    Duration timeout,
    @Nullable String passwordEnv,
    MqttTlsConfig tls,
    PlainText plainText,
    WiringConfig wiring)
    implements LinkConfig {

  /** Five seconds. */
  public static final Duration DEFAULT_KEEP_ALIVE = Duration.ofSeconds(5);

  /** The contract's names that {@code topics} may map. */
  public static final List<String> TOPICS =
      List.of("target", "reply", "status", "cut", "fault", "operator", "online", "prompt");

  /** Copies the map, keeping its order. */
  public MqttLinkConfig {
    topics = Collections.unmodifiableMap(new LinkedHashMap<>(topics));
  }

  /** States a link without anything of TLS. */
  public MqttLinkConfig(
      String broker,
      String prefix,
      Map<String, String> topics,
      @Nullable String user,
      @Nullable Path passwordFile,
      Duration keepAlive,
      Duration timeout,
      @Nullable String passwordEnv) {
    this(
        broker,
        prefix,
        topics,
        user,
        passwordFile,
        keepAlive,
        timeout,
        passwordEnv,
        MqttTlsConfig.USUAL,
        PlainText.REFUSED,
        WiringConfig.CONTRACT);
  }

  /** Returns where the password is, or {@code null} where there is none. */
  public @Nullable SecretPlace password() {
    return SecretPlace.of(passwordFile, passwordEnv);
  }

  /** Tells whether the link is encrypted. */
  @Override
  public boolean isSecured() {
    return broker.startsWith("ssl:");
  }

  @Override
  public String address() {
    return broker;
  }

  /** Returns the prefix of a station where nothing else is said. */
  public static String defaultPrefix(String station) {
    return "kerftally/v1/" + station + "/";
  }

  /** Returns the full topic of a contract name. */
  public String topic(String name) {
    String mapped = topics.get(name);
    return mapped != null ? mapped : prefix + name;
  }
}
