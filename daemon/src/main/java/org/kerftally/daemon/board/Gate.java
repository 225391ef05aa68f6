package org.kerftally.daemon.board;

import com.sun.net.httpserver.Filter;
import com.sun.net.httpserver.Headers;
import com.sun.net.httpserver.HttpExchange;
import java.io.IOException;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Stands before every route: refuses what may not pass, and marks every answer.
 *
 * <p>The board can change nothing, and has no secrets from people who can reach it unless a token
 * is set. What is kept out are web pages from elsewhere that a browser of this machine shows: one
 * that has its own name resolve to the loopback address (DNS rebinding) is known by its Host
 * header, one that only embeds our addresses by the Sec-Fetch-Site header.
 *
 * <p>Where the board listens on the network its names are not ours to know. There a Host passes
 * that nobody elsewhere can have resolve to us: an address, a name without a dot, or one under a
 * domain that is never asked of the public's name servers. Where a token is asked for, any Host
 * passes: a page from elsewhere has none to show. {@code /healthz} tells nothing but that the
 * process lives, and stays open.
 */
final class Gate extends Filter {

  /** The most characters of a path with its query: ours are far shorter. */
  static final int MAX_URI = 1024;

  private static final String POLICY =
      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self';"
          + " connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

  private static final String OPEN_PATH = "/healthz";

  /** RFC 6762, RFC 8375, and the domain that ICANN reserved for private use in 2024. */
  private static final Pattern OWN_NETWORK =
      Pattern.compile(
          "(\\[[0-9a-f:.]+]|[0-9]{1,3}(\\.[0-9]{1,3}){3}|[a-z0-9_-]{1,63}"
              + "|[a-z0-9_.-]{1,190}\\.(local|home\\.arpa|internal))(:[0-9]{1,5})?");

  private final boolean loopback;
  private final @Nullable Token token;
  private final Set<String> hosts;

  /**
   * Makes a gate.
   *
   * @param loopback whether only this machine can reach the board
   * @param name the configured host as it stands in a URL
   * @param port the port listened on
   * @param token what a reader has to show, or {@code null} for nothing
   */
  Gate(boolean loopback, String name, int port, @Nullable Token token) {
    this.loopback = loopback;
    this.token = token;
    Set<String> names = new HashSet<>();
    for (String host : List.of("localhost", "127.0.0.1", "[::1]", name)) {
      names.add(host.toLowerCase(Locale.ROOT) + ":" + port);
    }
    this.hosts = Set.copyOf(names);
  }

  @Override
  public void doFilter(HttpExchange exchange, Chain chain) throws IOException {
    Headers headers = exchange.getResponseHeaders();
    headers.set("Content-Security-Policy", POLICY);
    headers.set("X-Content-Type-Options", "nosniff");
    headers.set("Cache-Control", "no-store");
    headers.set("Referrer-Policy", "no-referrer");
    headers.set("Cross-Origin-Resource-Policy", "same-origin");
    String method = exchange.getRequestMethod();
    if (!method.equals("GET") && !method.equals("HEAD")) {
      headers.set("Allow", "GET, HEAD");
      Reply.text(405, "The board is read-only: GET and HEAD alone.").send(exchange);
    } else if (exchange.getRequestURI().toString().length() > MAX_URI) {
      Reply.text(414, "The address is longer than " + MAX_URI + " characters.").send(exchange);
    } else if (!isOurs(exchange.getRequestHeaders().get("Host"))) {
      Reply.text(
              421,
              loopback
                  ? "The board answers here to localhost alone."
                  : "Ask by address or by a name of your own network, or have a board token set.")
          .send(exchange);
    } else if (isEmbeddedElsewhere(exchange)) {
      Reply.text(403, "Another site's page may not read the board.").send(exchange);
    } else if (!mayRead(exchange)) {
      headers.add("WWW-Authenticate", "Bearer realm=\"kerftally\"");
      headers.add("WWW-Authenticate", "Basic realm=\"kerftally\", charset=\"UTF-8\"");
      Reply.text(401, "Show the board's token: as a bearer token, or as any user's password.")
          .send(exchange);
    } else {
      chain.doFilter(exchange);
    }
  }

  @Override
  public String description() {
    return "read-only, this machine's names, token, headers";
  }

  /** Tells whether a request meant this board, by its Host headers. */
  boolean isOurs(@Nullable List<String> host) {
    if (host == null || host.size() != 1) {
      return false;
    }
    String asked = host.get(0).toLowerCase(Locale.ROOT);
    return hosts.contains(asked)
        || (!loopback && (token != null || OWN_NETWORK.matcher(asked).matches()));
  }

  private boolean mayRead(HttpExchange exchange) {
    List<String> shown = exchange.getRequestHeaders().get("Authorization");
    return token == null
        || OPEN_PATH.equals(exchange.getRequestURI().getPath())
        || (shown != null && shown.size() == 1 && token.isShownBy(shown.get(0)));
  }

  private static boolean isEmbeddedElsewhere(HttpExchange exchange) {
    String site = exchange.getRequestHeaders().getFirst("Sec-Fetch-Site");
    return "cross-site".equals(site) && !exchange.getRequestURI().getPath().equals("/");
  }
}
