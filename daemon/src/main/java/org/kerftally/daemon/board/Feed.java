package org.kerftally.daemon.board;

import com.sun.net.httpserver.HttpExchange;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.HashSet;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Streams the board to pages as server-sent events.
 *
 * <p>Why it is built so: the service has many places where something changes and none of them
 * should know of pages. So one thread looks at the sources five times a second, only while somebody
 * listens, and compares what it sees with what it saw; equal values cost no writing. That bounds
 * the rate by itself, and a listener that is slow misses moments in between and never the newest:
 * each gets the latest state there is when it is ready for one.
 *
 * <p>Each listener has a thread of its own, so that one that does not read holds up only itself;
 * the looking thread interrupts a write that takes too long, which closes that connection. The
 * number of listeners, and so of threads, is bounded.
 *
 * <p>When the sources fail, all listeners are let go: a page must rather say that it has no
 * connection than show old figures as if they were new.
 */
final class Feed implements AutoCloseable {

  /** The most pages at once. */
  static final int MAX_LISTENERS = 64;

  /** The least time between two states. */
  static final Duration PERIOD = Duration.ofMillis(200);

  /** The longest silence. */
  static final Duration BEAT = Duration.ofSeconds(10);

  /** The longest time one write may take before its connection is given up. */
  static final Duration WRITE_LIMIT = Duration.ofSeconds(15);

  /** What a page is told to wait before it asks again, in seconds. */
  static final int RETRY_SECONDS = 5;

  private static final Logger LOG = LoggerFactory.getLogger(Feed.class);

  private final BoardSources sources;
  private final Object lock = new Object();
  private final Set<Listener> listeners = new HashSet<>();
  private final Thread looker;
  private boolean closed;
  private long version;
  private byte @Nullable [] newest;

  /** Starts looking as soon as somebody listens. */
  Feed(BoardSources sources) {
    this.sources = sources;
    this.looker = new Thread(this::look, "board-feed");
    looker.setDaemon(true);
    looker.start();
  }

  /** Returns how many listen now. */
  int listeners() {
    synchronized (lock) {
      return listeners.size();
    }
  }

  /** Takes over an exchange: a stream that ends when either side closes, or 503 when full. */
  void take(HttpExchange exchange) throws IOException {
    exchange.getResponseHeaders().set("Content-Type", "text/event-stream");
    if (exchange.getRequestMethod().equals("HEAD")) {
      exchange.sendResponseHeaders(200, -1);
      exchange.close();
      return;
    }
    Listener listener = new Listener(exchange);
    synchronized (lock) {
      if (!closed && listeners.size() < MAX_LISTENERS) {
        listeners.add(listener);
        listener.thread.start();
        lock.notifyAll();
        return;
      }
    }
    exchange.getResponseHeaders().set("Retry-After", Integer.toString(RETRY_SECONDS));
    Reply.text(503, "Too many pages listen already, at most " + MAX_LISTENERS + ".").send(exchange);
  }

  @Override
  public void close() {
    synchronized (lock) {
      closed = true;
      letGo();
      lock.notifyAll();
    }
  }

  private void letGo() {
    listeners.forEach(listener -> listener.thread.interrupt());
  }

  private void look() {
    BoardView last = null;
    boolean failing = false;
    while (awaitListeners()) {
      try {
        BoardView now = BoardView.of(sources);
        failing = false;
        if (!now.equals(last) || !hasNewest()) {
          last = now;
          publish(BoardJson.board(now, sources.now()));
        }
      } catch (RuntimeException e) {
        if (!failing) {
          LOG.error("The board cannot be read; pages are let go until it can", e);
        }
        failing = true;
        synchronized (lock) {
          newest = null;
          letGo();
        }
      }
    }
  }

  /** Waits one period, and longer while nobody listens; tells whether to go on. */
  private boolean awaitListeners() {
    synchronized (lock) {
      try {
        if (listeners.isEmpty()) {
          newest = null;
          while (listeners.isEmpty() && !closed) {
            lock.wait();
          }
        } else {
          long end = System.nanoTime() + PERIOD.toNanos();
          long left = PERIOD.toMillis();
          while (left > 0 && !closed) {
            lock.wait(left);
            left = (end - System.nanoTime()) / 1_000_000;
          }
        }
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
        return false;
      }
      long now = System.nanoTime();
      listeners.forEach(listener -> listener.giveUpIfStuck(now));
      return !closed;
    }
  }

  private boolean hasNewest() {
    synchronized (lock) {
      return newest != null;
    }
  }

  private void publish(byte[] data) {
    synchronized (lock) {
      newest = data;
      version++;
      lock.notifyAll();
    }
  }

  /** One page: its connection and the thread that writes to it. */
  private final class Listener {

    private final HttpExchange exchange;
    private final Thread thread;
    private long seen;
    private volatile long writingSince;

    Listener(HttpExchange exchange) {
      this.exchange = exchange;
      this.thread = new Thread(this::run, "board-page");
      thread.setDaemon(true);
    }

    void giveUpIfStuck(long nowNanos) {
      long since = writingSince;
      if (since != 0 && nowNanos - since > WRITE_LIMIT.toNanos()) {
        thread.interrupt();
      }
    }

    private void run() {
      try (exchange) {
        exchange.sendResponseHeaders(200, 0);
        OutputStream out = exchange.getResponseBody();
        write(out, ascii("retry: 2000\n\n"));
        while (true) {
          byte[] data = awaitNewer();
          if (data == null) {
            write(out, ascii(": nothing changed\n\nevent: beat\ndata: {}\n\n"));
          } else {
            write(out, ascii("event: board\ndata: "), data, ascii("\n\n"));
          }
        }
      } catch (IOException e) {
        LOG.debug("A page went away: {}", e.toString());
      } catch (InterruptedException e) {
        LOG.debug("A page was let go");
      } finally {
        synchronized (lock) {
          listeners.remove(this);
        }
      }
    }

    /** Returns a state this page has not got, {@code null} when there was none for a beat. */
    private byte @Nullable [] awaitNewer() throws InterruptedException {
      synchronized (lock) {
        long end = System.nanoTime() + BEAT.toNanos();
        long left = BEAT.toMillis();
        while (left > 0 && (newest == null || seen == version)) {
          lock.wait(left);
          left = (end - System.nanoTime()) / 1_000_000;
        }
        if (Thread.interrupted()) {
          throw new InterruptedException();
        }
        if (newest == null || seen == version) {
          return null;
        }
        seen = version;
        return newest;
      }
    }

    private void write(OutputStream out, byte[]... pieces) throws IOException {
      writingSince = System.nanoTime() | 1;
      for (byte[] piece : pieces) {
        out.write(piece);
      }
      out.flush();
      writingSince = 0;
    }
  }

  private static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }
}
