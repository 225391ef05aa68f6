package org.kerftally.daemon.board;

import com.sun.net.httpserver.Filter;
import com.sun.net.httpserver.Headers;
import com.sun.net.httpserver.HttpExchange;
import java.io.IOException;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Stands before every route: refuses what may not pass, and marks every answer.
 *
 * <p>The board can change nothing and has no secrets from people who can reach it. What is kept out
 * are web pages from elsewhere that a browser of this machine shows: one that has its own name
 * resolve to the loopback address (DNS rebinding) is known by its Host header, one that only embeds
 * our addresses by the Sec-Fetch-Site header. Where the board listens on the network its names are
 * not ours to know, and the first check is left out.
 */
final class Gate extends Filter {

  /** The most characters of a path with its query: ours are far shorter. */
  static final int MAX_URI = 1024;

  private static final String POLICY =
      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self';"
          + " connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

  private final boolean loopback;
  private final Set<String> hosts;

  /**
   * Makes a gate.
   *
   * @param loopback whether only this machine can reach the board
   * @param name the configured host as it stands in a URL
   * @param port the port listened on
   */
  Gate(boolean loopback, String name, int port) {
    this.loopback = loopback;
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
    } else if (loopback && !isOurs(exchange.getRequestHeaders().get("Host"))) {
      Reply.text(421, "The board answers here to localhost alone.").send(exchange);
    } else if (isEmbeddedElsewhere(exchange)) {
      Reply.text(403, "Another site's page may not read the board.").send(exchange);
    } else {
      chain.doFilter(exchange);
    }
  }

  @Override
  public String description() {
    return "read-only, this machine's names, headers";
  }

  private boolean isOurs(@Nullable List<String> host) {
    return host != null && host.size() == 1 && hosts.contains(host.get(0).toLowerCase(Locale.ROOT));
  }

  private static boolean isEmbeddedElsewhere(HttpExchange exchange) {
    String site = exchange.getRequestHeaders().getFirst("Sec-Fetch-Site");
    return "cross-site".equals(site) && !exchange.getRequestURI().getPath().equals("/");
  }
}
