package org.kerftally.protocol.opcua;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;

/**
 * Stands between a client and a server on loopback and can hold everything back, as a network does
 * that loses a switch for a while: nothing is lost, nothing arrives. A direction that was held back
 * delivers what it holds even when its sender has gone meanwhile.
 */
final class StallingProxy implements AutoCloseable {

  private static final int MAX_CHUNK_BYTES = 65_536;

  private final ServerSocket listener;
  private final int serverPort;
  private final List<Socket> sockets = new CopyOnWriteArrayList<>();
  private final ReentrantLock lock = new ReentrantLock();
  private final Condition released = lock.newCondition();
  private boolean stalled;
  private volatile boolean closed;

  StallingProxy(int serverPort) throws IOException {
    this.serverPort = serverPort;
    this.listener = new ServerSocket(0, 16, InetAddress.getLoopbackAddress());
    daemon(this::accept);
  }

  int port() {
    return listener.getLocalPort();
  }

  /** Holds back whatever comes from now on, in both directions. */
  void stall() {
    lock.lock();
    try {
      stalled = true;
    } finally {
      lock.unlock();
    }
  }

  /** Lets everything go that was held back. */
  void release() {
    lock.lock();
    try {
      stalled = false;
      released.signalAll();
    } finally {
      lock.unlock();
    }
  }

  /** Cuts every connection, as a pulled plug does once it is noticed. */
  void cut() {
    for (Socket socket : sockets) {
      quietly(socket::close);
    }
    sockets.clear();
  }

  private void accept() {
    while (!closed) {
      try {
        Socket client = listener.accept();
        Socket server = new Socket(InetAddress.getLoopbackAddress(), serverPort);
        client.setTcpNoDelay(true);
        server.setTcpNoDelay(true);
        sockets.add(client);
        sockets.add(server);
        daemon(() -> pump(client, server));
        daemon(() -> pump(server, client));
      } catch (IOException e) {
        // The server is away: the client sees its connection end at once.
        if (closed) {
          return;
        }
      }
    }
  }

  private void pump(Socket from, Socket to) {
    byte[] chunk = new byte[MAX_CHUNK_BYTES];
    try {
      InputStream in = from.getInputStream();
      OutputStream out = to.getOutputStream();
      for (int n = in.read(chunk); n >= 0; n = in.read(chunk)) {
        awaitRelease();
        out.write(chunk, 0, n);
        out.flush();
      }
    } catch (IOException | InterruptedException e) {
      // Either side is gone: end both.
    }
    try {
      awaitRelease();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    quietly(from::close);
    quietly(to::close);
  }

  private void awaitRelease() throws InterruptedException {
    lock.lockInterruptibly();
    try {
      while (stalled && !closed) {
        released.await();
      }
    } finally {
      lock.unlock();
    }
  }

  private static void daemon(Runnable task) {
    Thread thread = new Thread(task, "stalling-proxy");
    thread.setDaemon(true);
    thread.start();
  }

  private interface Closing {
    void close() throws IOException;
  }

  private static void quietly(Closing closing) {
    try {
      closing.close();
    } catch (IOException e) {
      // It is closed either way.
    }
  }

  @Override
  public void close() {
    closed = true;
    release();
    quietly(listener::close);
    cut();
  }
}
