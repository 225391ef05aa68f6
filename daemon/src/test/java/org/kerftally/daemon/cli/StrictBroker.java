package org.kerftally.daemon.cli;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;

/** A broker that takes any connection, keeps what it was sent first, and lets nobody in. */
final class StrictBroker implements AutoCloseable {

  /** OASIS MQTT 5.0, 3.2: CONNACK, no session, "Not authorized", no properties. */
  private static final byte[] NOT_AUTHORIZED = {0x20, 0x03, 0x00, (byte) 0x87, 0x00};

  private static final int MAX_FIRST_BYTES = 4_096;
  private static final int LIMIT_MILLIS = 10_000;

  private final ServerSocket socket = new ServerSocket(0, 8, InetAddress.getLoopbackAddress());
  private final List<byte[]> firstWords = new CopyOnWriteArrayList<>();

  StrictBroker() throws IOException {
    Thread thread = new Thread(this::serve, "strict-broker");
    thread.setDaemon(true);
    thread.start();
  }

  int port() {
    return socket.getLocalPort();
  }

  /** Returns what each connection sent first. */
  List<byte[]> firstWords() {
    return firstWords;
  }

  private void serve() {
    while (!socket.isClosed()) {
      try (Socket client = socket.accept()) {
        client.setSoTimeout(LIMIT_MILLIS);
        InputStream in = client.getInputStream();
        byte[] first = new byte[MAX_FIRST_BYTES];
        int count = in.read(first);
        if (count > 0) {
          firstWords.add(java.util.Arrays.copyOf(first, count));
          client.getOutputStream().write(NOT_AUTHORIZED);
          client.getOutputStream().flush();
        }
      } catch (IOException e) {
        // The client left, or this broker was closed: the loop looks which.
      }
    }
  }

  @Override
  public void close() {
    try {
      socket.close();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
