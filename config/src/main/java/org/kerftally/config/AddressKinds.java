package org.kerftally.config;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.function.Predicate;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Reads addresses: the board's, an OPC UA endpoint, an MQTT broker, topics and nodes. */
final class AddressKinds {

  static final Kind<BoardConfig> BOARD = new Kind<>("127.0.0.1:8418", AddressKinds::readBoard);
  static final Kind<String> ENDPOINT =
      url(
          "opc.tcp://127.0.0.1:4840",
          "opc\\.tcp",
          "(/[!-~]*)?",
          "an address like opc.tcp://HOST:PORT");
  static final Kind<String> BROKER =
      url(
          "tcp://127.0.0.1:1883",
          "(?:tcp|ssl)",
          "/?",
          "an address like tcp://HOST:PORT or ssl://HOST:PORT");
  static final Kind<String> NODE =
      new Kind<>("\"nsu=urn:example:drive;s=Axis1.Position\"", AddressKinds::readNode);
  static final Kind<String> TOPIC =
      new Kind<>("shop/saw1/target", text -> readTopic(text, "a topic"));
  static final Kind<String> PREFIX = new Kind<>("shop/saw1/", AddressKinds::readPrefix);

  private static final int MAX_CHARS = 512;

  /** Longer topics serve nobody and slow every broker down; the link has the same bound. */
  private static final int MAX_TOPIC_BYTES = 200;

  private static final Predicate<String> DOTS_OR_NOTHING =
      Pattern.compile("\\.{0,2}").asMatchPredicate();

  private static final int MAX_HOST_CHARS = 253;
  private static final int MAX_PORT = 65_535;

  private static final String HOST = "(\\[[0-9A-Fa-f:.]{2,45}\\]|[A-Za-z0-9._-]{1,253})";
  private static final Pattern HOST_PORT = Pattern.compile(HOST + ":([0-9]{1,9})");
  private static final Pattern DIGITS_AND_DOTS = Pattern.compile("[0-9.]+");
  private static final Pattern NODE_ID =
      Pattern.compile(
          "(?:ns=[0-9]{1,5};|nsu=[^;\\s]{1,256};)?"
              + "(?:i=[0-9]{1,10}|s=.{1,256}|g=[0-9A-Fa-f]{8}(?:-[0-9A-Fa-f]{4}){3}-[0-9A-Fa-f]{12}"
              + "|b=[A-Za-z0-9+/]{1,256}={0,2})");

  private AddressKinds() {}

  private static Reading<BoardConfig> readBoard(String text) {
    if (text.equals("off")) {
      return Reading.of(BoardConfig.OFF);
    }
    String expected = "HOST:PORT with a port from 1 to 65535, or off";
    Matcher match = HOST_PORT.matcher(text);
    if (!match.matches() || !isHost(match.group(1)) || !isPort(match.group(2))) {
      return text.matches("[0-9]{1,5}")
          ? Reading.not(text, expected, "Write the host too: 127.0.0.1:" + text)
          : Reading.not(text, expected);
    }
    String host = match.group(1).replace("[", "").replace("]", "");
    return Reading.of(new BoardConfig(host, Integer.parseInt(match.group(2))));
  }

  private static boolean isPort(String digits) {
    int port = Integer.parseInt(digits);
    return port >= 1 && port <= MAX_PORT;
  }

  private static boolean isHost(String host) {
    if (host.length() > MAX_HOST_CHARS) {
      return false;
    }
    if (host.startsWith("[") || !DIGITS_AND_DOTS.matcher(host).matches()) {
      return true;
    }
    String[] octets = host.split("\\.", -1);
    return octets.length == 4
        && Arrays.stream(octets)
            .allMatch(o -> o.matches("[0-9]{1,3}") && Integer.parseInt(o) < 256);
  }

  /** Whatever stands before an @ may be a password: such an address is never shown. */
  private static Kind<String> url(String example, String scheme, String path, String expected) {
    Pattern pattern = Pattern.compile(scheme + "://" + HOST + ":([0-9]{1,9})" + path);
    return new Kind<>(
        example,
        text -> {
          if (text.indexOf('@') >= 0) {
            return new Reading.Not<>(
                "an address with a user or password in it",
                expected,
                "Write the user under `user` and the password's place under `password-file`");
          }
          Matcher match = pattern.matcher(text);
          boolean right =
              text.length() <= MAX_CHARS
                  && match.matches()
                  && isHost(match.group(1))
                  && isPort(match.group(2));
          return right ? Reading.of(text) : Reading.not(text, expected);
        });
  }

  private static Reading<String> readNode(String text) {
    return WordKinds.isPlain(text, MAX_CHARS) && NODE_ID.matcher(text).matches()
        ? Reading.of(text)
        : Reading.not(
            text,
            "a NodeId",
            "Write the namespace as nsu=URI; or ns=INDEX; then i=, s=, g= or b= and the name");
  }

  /**
   * MQTT 5.0, section 4.7: no wildcards in a topic name, none that starts with a dollar sign. Empty
   * levels and those of dots are allowed there, but name nothing anybody would look for, and
   * programs that make files of topics are led astray by them.
   */
  private static Reading<String> readTopic(String text, String what) {
    if (!WordKinds.isPlain(text, MAX_CHARS)
        || text.indexOf('+') >= 0
        || text.indexOf('#') >= 0
        || text.startsWith("$")) {
      return Reading.not(text, what + " of visible characters without + and #, not begun with $");
    }
    if (text.getBytes(StandardCharsets.UTF_8).length > MAX_TOPIC_BYTES) {
      return Reading.not(text, what + " of at most " + MAX_TOPIC_BYTES + " bytes");
    }
    return Arrays.stream(text.split("/", -1)).anyMatch(DOTS_OR_NOTHING)
        ? Reading.not(text, what + " with a name between any two slashes, none of dots alone")
        : Reading.of(text);
  }

  private static Reading<String> readPrefix(String text) {
    if (!text.endsWith("/") || text.length() == 1) {
      Reading<String> topic = readTopic(text, "a prefix of topics");
      return topic instanceof Reading.Of<String>
          ? Reading.not(text, "a prefix that ends with /", "Write " + text + "/")
          : topic;
    }
    // Room is left for the longest name behind it.
    Reading<String> longest = readTopic(text + "operator", "a prefix of topics");
    if (longest instanceof Reading.Not<String> not) {
      return Reading.not(text, not.expected());
    }
    return Reading.of(text);
  }
}
