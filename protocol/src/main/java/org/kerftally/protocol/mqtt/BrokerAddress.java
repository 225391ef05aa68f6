package org.kerftally.protocol.mqtt;

import java.net.URI;
import java.net.URISyntaxException;
import java.util.Locale;

/**
 * Names a broker: {@code tcp://host:port}, or {@code ssl://host:port} for TLS. This is the one
 * place that decides how a broker is reached: a secured one is never spoken to in clear.
 *
 * @param host name or address, an address of version six in brackets
 * @param port 1 to 65535
 * @param secured whether TLS is spoken
 */
record BrokerAddress(String host, int port, boolean secured) {

  /** The port registered for MQTT (IANA service names: mqtt). */
  static final int DEFAULT_PORT = 1883;

  /** The port registered for MQTT over TLS (IANA service names: secure-mqtt). */
  static final int DEFAULT_SECURED_PORT = 8883;

  private static final int MAX_CHARS = 300;

  /**
   * Reads an address.
   *
   * @throws IllegalArgumentException saying what is wrong with it and what to write instead
   */
  static BrokerAddress parse(String text) {
    if (text.length() > MAX_CHARS) {
      throw new IllegalArgumentException("broker address longer than " + MAX_CHARS + " characters");
    }
    URI uri;
    try {
      uri = new URI(text);
    } catch (URISyntaxException e) {
      throw wrong("is no address");
    }
    String scheme = uri.getScheme() == null ? "" : uri.getScheme().toLowerCase(Locale.ROOT);
    boolean secured = scheme.equals("ssl");
    if (!secured && !scheme.equals("tcp")) {
      throw wrong("has no known scheme");
    }
    if (uri.getUserInfo() != null) {
      throw wrong("holds a user; put it under user and password-file");
    }
    if (uri.getHost() == null || !(uri.getRawPath().isEmpty() || uri.getRawPath().equals("/"))) {
      throw wrong("names no host, or more than host and port");
    }
    int usual = secured ? DEFAULT_SECURED_PORT : DEFAULT_PORT;
    int port = uri.getPort() == -1 ? usual : uri.getPort();
    if (port < 1 || port > 65_535) {
      throw wrong("has a port outside 1 to 65535");
    }
    return new BrokerAddress(uri.getHost(), port, secured);
  }

  // The address is not quoted: someone may have put a password into it.
  private static IllegalArgumentException wrong(String how) {
    return new IllegalArgumentException(
        "broker address " + how + "; expected tcp://HOST:PORT or ssl://HOST:PORT");
  }

  /** Returns the address as it is written in the configuration. */
  String uri() {
    return (secured ? "ssl://" : "tcp://") + host + ":" + port;
  }

  /** Returns the address for the client library, whose sockets speak TLS without its knowledge. */
  String libraryUri() {
    return "tcp://" + host + ":" + port;
  }

  /** Returns the name that the broker's certificate has to hold. */
  String certificateHost() {
    return host.startsWith("[") ? host.substring(1, host.length() - 1) : host;
  }
}
