package org.kerftally.protocol.mqtt;

import java.net.URI;
import java.net.URISyntaxException;
import java.util.Locale;

/**
 * Names a broker: {@code tcp://host:port}. This is the one place that decides how a broker is
 * reached; a secured scheme is refused here until trust lists exist, never quietly spoken in clear.
 *
 * @param host name or address
 * @param port 1 to 65535
 */
record BrokerAddress(String host, int port) {

  /** The port registered for MQTT (IANA service names: mqtt). */
  static final int DEFAULT_PORT = 1883;

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
    if (scheme.equals("ssl") || scheme.equals("mqtts") || scheme.equals("tls")) {
      throw new IllegalArgumentException(
          "broker address asks for TLS, which this version cannot speak yet; use"
              + " tcp://HOST:PORT within a network you trust");
    }
    if (!scheme.equals("tcp") && !scheme.equals("mqtt")) {
      throw wrong("has no known scheme");
    }
    if (uri.getUserInfo() != null) {
      throw wrong("holds a user; put it under user and password-file");
    }
    if (uri.getHost() == null || !(uri.getRawPath().isEmpty() || uri.getRawPath().equals("/"))) {
      throw wrong("names no host, or more than host and port");
    }
    int port = uri.getPort() == -1 ? DEFAULT_PORT : uri.getPort();
    if (port < 1 || port > 65_535) {
      throw wrong("has a port outside 1 to 65535");
    }
    return new BrokerAddress(uri.getHost(), port);
  }

  // The address is not quoted: someone may have put a password into it.
  private static IllegalArgumentException wrong(String how) {
    return new IllegalArgumentException(
        "broker address " + how + "; expected tcp://HOST:PORT such as tcp://127.0.0.1:1883");
  }

  /** Returns the address as the client library wants it. */
  String uri() {
    return "tcp://" + host + ":" + port;
  }
}
