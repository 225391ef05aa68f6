package org.kerftally.protocol.broker;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.ArrayList;
import java.util.List;

/**
 * Stands between a client and a server as a network that fails when told: it can refuse, cut and
 * swallow. Its own address stays the same while the server behind it changes.
 */
public final class TcpRelay implements AutoCloseable {

  private static final int BUFFER_BYTES = 8192;

  private final ServerSocket listener;
  private final List<Socket> open = new ArrayList<>();
  private InetSocketAddress upstream;
  private boolean refusing;
  private boolean swallowing;
  private boolean closed;

  /** Starts to relay to a server. */
  public TcpRelay(String host, int port) {
    upstream = new InetSocketAddress(host, port);
    try {
      listener = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    start("relay-accept", this::accept);
  }

  /** Returns this end's address as a link is configured with it. */
  public String url() {
    return "tcp://127.0.0.1:" + listener.getLocalPort();
  }

  /** Cuts every connection, and those that are tried from now on. */
  public synchronized void refuse() {
    refusing = true;
    cut();
  }

  /** Cuts every connection; new ones are let through. */
  public synchronized void cut() {
    open.forEach(TcpRelay::closeQuietly);
    open.clear();
  }

  /** Lets connections through again, to another server. */
  public synchronized void admit(String host, int port) {
    upstream = new InetSocketAddress(host, port);
    refusing = false;
  }

  /** Holds everything back, in both directions, without cutting anything. */
  public synchronized void swallow() {
    swallowing = true;
  }

  /** Passes on what was held back and all that follows. */
  public synchronized void flow() {
    swallowing = false;
    notifyAll();
  }

  @Override
  public synchronized void close() {
    closed = true;
    swallowing = false;
    notifyAll();
    cut();
    closeQuietly(listener);
  }

  private void accept() {
    while (!isClosed()) {
      try {
        admitOne(listener.accept());
      } catch (IOException e) {
        // The listener is closed, or the server is away: the next client tries again.
      }
    }
  }

  private synchronized boolean isClosed() {
    return closed;
  }

  private void admitOne(Socket client) throws IOException {
    InetSocketAddress to;
    synchronized (this) {
      to = upstream;
      if (refusing || closed) {
        client.close();
        return;
      }
    }
    Socket server = new Socket();
    try {
      server.connect(to, 2_000);
      server.setTcpNoDelay(true);
      client.setTcpNoDelay(true);
    } catch (IOException e) {
      client.close();
      throw e;
    }
    synchronized (this) {
      open.add(client);
      open.add(server);
    }
    start("relay-up", () -> pump(client, server));
    start("relay-down", () -> pump(server, client));
  }

  private void pump(Socket from, Socket to) {
    byte[] buffer = new byte[BUFFER_BYTES];
    try (from;
        to) {
      InputStream in = from.getInputStream();
      OutputStream out = to.getOutputStream();
      for (int read = in.read(buffer); read >= 0; read = in.read(buffer)) {
        awaitFlow();
        out.write(buffer, 0, read);
      }
    } catch (IOException e) {
      // Either side went: the other goes too.
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private synchronized void awaitFlow() throws InterruptedException {
    while (swallowing) {
      wait();
    }
  }

  private static void start(String name, Runnable task) {
    Thread thread = new Thread(task, name);
    thread.setDaemon(true);
    thread.start();
  }

  private static void closeQuietly(AutoCloseable closeable) {
    try {
      closeable.close();
    } catch (Exception e) {
      // It is gone either way.
    }
  }
}
