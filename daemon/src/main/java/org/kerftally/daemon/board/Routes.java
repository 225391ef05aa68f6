package org.kerftally.daemon.board;

import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpHandler;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.Map;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Answers each address of the board. Addresses match whole; anything else is 404. */
final class Routes implements HttpHandler {

  private static final Logger LOG = LoggerFactory.getLogger(Routes.class);

  private final BoardSources sources;
  private final Feed feed;
  private final Map<String, Reply> files =
      Map.of(
          "/", file("index.html", "text/html; charset=utf-8"),
          "/board.css", file("board.css", "text/css; charset=utf-8"),
          "/board.js", file("board.js", "text/javascript; charset=utf-8"),
          "/icon.svg", file("icon.svg", "image/svg+xml"));

  Routes(BoardSources sources, Feed feed) {
    this.sources = sources;
    this.feed = feed;
  }

  @Override
  public void handle(HttpExchange exchange) throws IOException {
    String path = exchange.getRequestURI().getPath();
    if ("/api/events".equals(path)) {
      feed.take(exchange);
      return;
    }
    answer(path).send(exchange);
  }

  private Reply answer(String path) {
    Reply file = files.get(path);
    if (file != null) {
      return file;
    }
    try {
      return switch (path) {
        case "/api/stations" ->
            Reply.json(BoardJson.stations(BoardView.of(sources), sources.now()));
        case "/api/jobs" -> Reply.json(BoardJson.jobs(BoardView.of(sources), sources.now()));
        case "/metrics" ->
            new Reply(
                200,
                Metrics.CONTENT_TYPE,
                Metrics.write(
                    BoardView.of(sources), sources.counts(), feed.listeners(), sources.now()));
        case "/healthz" -> Reply.text(200, "ok");
        case "/readyz" -> ready();
        default ->
            Reply.text(
                404,
                "Nothing here. There are / /api/stations /api/jobs /api/events /metrics /healthz"
                    + " /readyz");
      };
    } catch (RuntimeException e) {
      LOG.error("The board could not answer {}", path, e);
      return Reply.text(500, "The board could not answer; the service's log says why.");
    }
  }

  private Reply ready() {
    String reason = sources.notReady();
    return reason == null ? Reply.text(200, "ready") : Reply.text(503, "not ready: " + reason);
  }

  private static Reply file(String name, String type) {
    try (InputStream in = Routes.class.getResourceAsStream(name)) {
      if (in == null) {
        throw new IllegalStateException("the jar lacks " + name);
      }
      return new Reply(200, type, in.readAllBytes());
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
