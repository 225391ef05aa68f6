package org.kerftally.daemon.board;

import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.UnknownHostException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.BoardConfig;

/**
 * Serves the live board over HTTP, read-only.
 *
 * <p>Everything is bounded: the threads, the requests that wait for one, the size of a request's
 * head, the time a client takes to send it, the connections, the pages that listen. The JDK's
 * server takes some of these bounds from system properties, read once in a process; where a
 * property is set already it is left alone.
 *
 * <p>Safe for several threads. {@link #close} ends every connection and is bounded in time.
 */
public final class Board implements AutoCloseable {

  /**
   * How many requests are read and answered at the same time. Many more than there is work for: the
   * JDK's server reads a request's head on these threads too, so that each client that is slow in
   * sending takes one of them until its time is up.
   */
  static final int WORKERS = 32;

  /** How many more may wait for that. */
  static final int MAX_WAITING_REQUESTS = 64;

  /** The most bytes of a request's line and headers. */
  static final int MAX_HEAD_BYTES = 16 * 1024;

  private static final int MAX_HEADERS = 64;
  private static final int MAX_CONNECTIONS = 256;
  private static final int MAX_IDLE_CONNECTIONS = 32;
  private static final int MAX_REQUEST_SECONDS = 5;
  private static final int BACKLOG = 32;
  private static final int CLOSE_SECONDS = 2;

  private final HttpServer server;
  private final ExecutorService workers;
  private final Feed feed;
  private final String url;

  private Board(HttpServer server, String host, @Nullable Token token, BoardSources sources) {
    this.server = server;
    this.feed = new Feed(sources);
    this.workers = workers();
    InetSocketAddress address = server.getAddress();
    String name = host.indexOf(':') >= 0 ? "[" + host + "]" : host;
    boolean everywhere = address.getAddress().isAnyLocalAddress();
    this.url = "http://" + (everywhere ? "localhost" : name) + ":" + address.getPort() + "/";
    boolean loopback = address.getAddress().isLoopbackAddress();
    Gate gate = new Gate(loopback, name, address.getPort(), token);
    server.createContext("/", new Routes(sources, feed)).getFilters().add(gate);
    server.setExecutor(workers);
  }

  /**
   * Opens the board; when this returns it answers.
   *
   * @param config where to listen; port 0 takes a free one
   * @param sources what is shown
   * @throws BoardException when the address cannot be listened on
   * @throws IllegalArgumentException when the config says that there is no board
   */
  public static Board open(BoardConfig config, BoardSources sources) {
    String host = config.host();
    if (host == null) {
      throw new IllegalArgumentException("the config has no board");
    }
    bound();
    Token token = token(config);
    Board board = new Board(bind(host, config.port()), host, token, sources);
    board.server.start();
    return board;
  }

  /** Returns the page's address: {@code http://127.0.0.1:8418/}. */
  public String url() {
    return url;
  }

  @Override
  public void close() {
    feed.close();
    server.stop(0);
    workers.shutdownNow();
    try {
      if (!workers.awaitTermination(CLOSE_SECONDS, TimeUnit.SECONDS)) {
        return;
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private static @Nullable Token token(BoardConfig config) {
    try {
      return Token.read(config.token());
    } catch (IOException e) {
      throw new BoardException("The board's token cannot be had: " + e.getMessage() + ".", e);
    }
  }

  private static HttpServer bind(String host, int port) {
    String where = host + ":" + port;
    try {
      return HttpServer.create(new InetSocketAddress(InetAddress.getByName(host), port), BACKLOG);
    } catch (UnknownHostException e) {
      throw new BoardException(
          "The board's host " + host + " is not known to this machine. Check board: in the config.",
          e);
    } catch (IOException e) {
      throw new BoardException(
          "The board cannot listen on "
              + where
              + " ("
              + e.getMessage()
              + "). Give board: in the config another port, or end what listens there.",
          e);
    }
  }

  private static ExecutorService workers() {
    AtomicInteger number = new AtomicInteger();
    ThreadPoolExecutor pool =
        new ThreadPoolExecutor(
            WORKERS,
            WORKERS,
            30,
            TimeUnit.SECONDS,
            new LinkedBlockingQueue<>(MAX_WAITING_REQUESTS),
            task -> {
              Thread thread = new Thread(task, "board-" + number.incrementAndGet());
              thread.setDaemon(true);
              return thread;
            });
    pool.allowCoreThreadTimeOut(true);
    return pool;
  }

  private static void bound() {
    bound("sun.net.httpserver.maxReqHeaders", MAX_HEADERS);
    bound("sun.net.httpserver.maxReqHeaderSize", MAX_HEAD_BYTES);
    bound("sun.net.httpserver.maxReqTime", MAX_REQUEST_SECONDS);
    bound("sun.net.httpserver.maxIdleConnections", MAX_IDLE_CONNECTIONS);
    bound("jdk.httpserver.maxConnections", MAX_CONNECTIONS);
    System.getProperties().putIfAbsent("sun.net.httpserver.nodelay", "true");
  }

  private static void bound(String property, int value) {
    System.getProperties().putIfAbsent(property, Integer.toString(value));
  }
}
