package org.kerftally.sim.mqtt;

import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.MqttTlsConfig;
import org.kerftally.config.SecretPlace;

/**
 * States how the device gets to its broker.
 *
 * @param url {@code tcp://host:port}, or {@code ssl://host:port} for TLS
 * @param tls whom an {@code ssl://} broker has to be, and what it is shown
 * @param user the user's name at the broker, or {@code null}
 * @param password where the user's password is, or {@code null}
 */
public record BrokerAccess(
    String url, MqttTlsConfig tls, @Nullable String user, @Nullable SecretPlace password) {

  private static final Pattern URL =
      Pattern.compile("(tcp|ssl)://(?:\\[([^]]+)]|([^:/\\[\\]]+))(:[0-9]{1,5})?/?");

  /** Refuses an address that is none. */
  public BrokerAccess {
    if (!URL.matcher(url).matches()) {
      throw new IllegalArgumentException("expected a broker as tcp://HOST:PORT or ssl://HOST:PORT");
    }
  }

  /** Returns the way to a broker that lets anybody in. */
  public static BrokerAccess open(String url) {
    return new BrokerAccess(url, MqttTlsConfig.USUAL, null, null);
  }

  boolean isSecured() {
    return url.startsWith("ssl:");
  }

  /** Returns the address for the client library, whose sockets speak TLS without its knowledge. */
  String libraryUri() {
    return "tcp" + url.substring("tcp".length());
  }

  /** Returns the name that the broker's certificate has to hold. */
  String host() {
    Matcher match = URL.matcher(url);
    if (!match.matches()) {
      throw new IllegalStateException("checked before");
    }
    return match.group(2) != null ? match.group(2) : match.group(3);
  }
}
