package org.kerftally.config;

import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Tells whether what is sent to a host stays on this machine. Decided from the text alone, nothing
 * is looked up: {@code 127.x.x.x}, {@code ::1} and {@code localhost} are loopback, all else is not.
 */
final class Loopback {

  private static final Pattern V4 = Pattern.compile("127(\\.[0-9]{1,3}){3}");
  private static final Pattern HOST_OF_URL =
      Pattern.compile("[a-z.]+://(?:\\[([^]]*)\\]|([^:/]*)).*");

  private Loopback() {}

  /** Tells it of a host without brackets. */
  static boolean isHost(String host) {
    return host.equalsIgnoreCase("localhost") || host.equals("::1") || V4.matcher(host).matches();
  }

  /** Tells it of an address like {@code tcp://HOST:PORT}. */
  static boolean isUrl(String url) {
    Matcher match = HOST_OF_URL.matcher(url);
    if (!match.matches()) {
      return false;
    }
    return isHost(match.group(1) != null ? match.group(1) : match.group(2));
  }
}
