package org.kerftally.daemon.site;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * Stands before a server on loopback as a network that fails when told. Nothing is ever dropped out
 * of a connection that lives on, as TCP drops nothing: bytes are late, or the connection is gone.
 * What was held back is delivered afterwards, even when its sender has died meanwhile, for that is
 * what a network does.
 */
final class FaultProxy implements AutoCloseable {

  /** Small, so that a throttled connection trickles. */
  private static final int CHUNK_BYTES = 4_096;

  private static final int MAX_CONNECTIONS = 64;
  private static final int CONNECT_MILLIS = 2_000;

  /** How the network is. */
  sealed interface Weather {

    /** Everything passes at once. */
    record Clear() implements Weather {}

    /** Every chunk comes so much later. */
    record Slow(int millis) implements Weather {}

    /** So many bytes a second pass in each direction of each connection. */
    record Narrow(int bytesPerSecond) implements Weather {}

    /** Connections stand and are taken, and nothing passes. */
    record HalfOpen() implements Weather {}

    /** Connections are cut, and refused when tried. */
    record Away() implements Weather {}
  }

  private static final Weather CLEAR = new Weather.Clear();

  private final ServerSocket listener;
  private final int serverPort;
  private final List<Socket> open = new ArrayList<>();
  private Weather weather = CLEAR;
  private boolean closed;
  private long accepted;

  /** Starts to relay to a server, which need not be there yet. */
  FaultProxy(int serverPort) throws IOException {
    this.serverPort = serverPort;
    this.listener = new ServerSocket(0, MAX_CONNECTIONS, InetAddress.getLoopbackAddress());
    daemon("accept", this::accept);
  }

  int port() {
    return listener.getLocalPort();
  }

  /** Returns how many connections were taken and passed on so far. */
  synchronized long accepted() {
    return accepted;
  }

  /** Changes the weather; what was held back goes on as the new one lets it. */
  synchronized void turn(Weather next) {
    weather = next;
    if (next instanceof Weather.Away) {
      cut();
    }
    notifyAll();
  }

  /** Lets everything pass again. */
  void clear() {
    turn(CLEAR);
  }

  /** Cuts every connection; new ones are let through. */
  synchronized void cut() {
    open.forEach(FaultProxy::closeQuietly);
    open.clear();
  }

  @Override
  public synchronized void close() {
    closed = true;
    weather = CLEAR;
    notifyAll();
    cut();
    closeQuietly(listener);
  }

  private synchronized boolean isClosed() {
    return closed;
  }

  private void accept() {
    while (!isClosed()) {
      try {
        admit(listener.accept());
      } catch (IOException e) {
        // The listener is closed, or the server is away: the next client tries again.
      }
    }
  }

  private void admit(Socket client) throws IOException {
    synchronized (this) {
      open.removeIf(Socket::isClosed);
      if (closed || weather instanceof Weather.Away || open.size() >= 2 * MAX_CONNECTIONS) {
        client.close();
        return;
      }
    }
    Socket server = new Socket();
    try {
      server.connect(
          new InetSocketAddress(InetAddress.getLoopbackAddress(), serverPort), CONNECT_MILLIS);
      server.setTcpNoDelay(true);
      client.setTcpNoDelay(true);
    } catch (IOException e) {
      closeQuietly(client);
      closeQuietly(server);
      throw e;
    }
    synchronized (this) {
      if (closed || weather instanceof Weather.Away) {
        // It turned while the server was being reached; nobody else knows of the two.
        closeQuietly(client);
        closeQuietly(server);
        return;
      }
      open.add(client);
      open.add(server);
      accepted++;
    }
    daemon("up", () -> pump(client, server));
    daemon("down", () -> pump(server, client));
  }

  private void pump(Socket from, Socket to) {
    byte[] chunk = new byte[CHUNK_BYTES];
    try {
      InputStream in = from.getInputStream();
      OutputStream out = to.getOutputStream();
      for (int read = in.read(chunk); read >= 0; read = in.read(chunk)) {
        awaitPassage(read);
        out.write(chunk, 0, read);
        out.flush();
      }
      // The end of a connection travels as its bytes do.
      awaitPassage(0);
    } catch (IOException e) {
      // Either side went: the other goes too.
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } finally {
      closeQuietly(from);
      closeQuietly(to);
    }
  }

  private void awaitPassage(int bytes) throws InterruptedException {
    long sleepMillis;
    synchronized (this) {
      while (weather instanceof Weather.HalfOpen) {
        wait();
      }
      sleepMillis = lateness(weather, bytes);
    }
    if (sleepMillis > 0) {
      TimeUnit.MILLISECONDS.sleep(sleepMillis);
    }
  }

  private static long lateness(Weather weather, int bytes) {
    if (weather instanceof Weather.Slow slow) {
      return slow.millis();
    }
    return weather instanceof Weather.Narrow narrow ? bytes * 1_000L / narrow.bytesPerSecond() : 0;
  }

  private static void daemon(String name, Runnable task) {
    Thread thread = new Thread(task, "fault-proxy-" + name);
    thread.setDaemon(true);
    thread.start();
  }

  private static void closeQuietly(@Nullable AutoCloseable closeable) {
    try {
      if (closeable != null) {
        closeable.close();
      }
    } catch (Exception e) {
      // It is gone either way.
    }
  }
}
