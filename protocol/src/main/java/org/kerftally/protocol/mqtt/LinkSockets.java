package org.kerftally.protocol.mqtt;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.util.ArrayList;
import java.util.List;
import javax.net.SocketFactory;
import org.jspecify.annotations.Nullable;

/**
 * Makes the sockets of one connection and can drop them at once.
 *
 * <p>Small messages go out without waiting for the acknowledgement of earlier ones. Dropping resets
 * the connection instead of closing it: what the kernel has not sent yet is thrown away, so a
 * target cannot leave this machine after the link gave it up.
 */
final class LinkSockets extends SocketFactory {

  private final Beginning beginning = new Beginning();
  private final List<Socket> made = new ArrayList<>();
  private boolean dropped;

  @Override
  public synchronized Socket createSocket() throws IOException {
    if (dropped) {
      throw new IOException("the connection was given up");
    }
    Socket socket = new PromptSocket(beginning);
    socket.setTcpNoDelay(true);
    made.add(socket);
    return socket;
  }

  /** Returns when the library may be told that the connection ends. */
  Beginning beginning() {
    return beginning;
  }

  /** Resets every connection and makes no more. */
  synchronized void drop() {
    dropped = true;
    for (Socket socket : made) {
      try {
        socket.setSoLinger(true, 0);
      } catch (IOException e) {
        // Closed already: nothing is left to throw away.
      }
      try {
        socket.close();
      } catch (IOException e) {
        // A socket that cannot be closed is not used again either.
      }
    }
    made.clear();
  }

  @Override
  public Socket createSocket(String host, int port) throws IOException {
    return connected(null, new InetSocketAddress(host, port));
  }

  @Override
  public Socket createSocket(InetAddress host, int port) throws IOException {
    return connected(null, new InetSocketAddress(host, port));
  }

  @Override
  public Socket createSocket(String host, int port, InetAddress local, int localPort)
      throws IOException {
    return connected(new InetSocketAddress(local, localPort), new InetSocketAddress(host, port));
  }

  @Override
  public Socket createSocket(InetAddress host, int port, InetAddress local, int localPort)
      throws IOException {
    return connected(new InetSocketAddress(local, localPort), new InetSocketAddress(host, port));
  }

  private Socket connected(@Nullable InetSocketAddress local, InetSocketAddress remote)
      throws IOException {
    Socket socket = createSocket();
    if (local != null) {
      socket.bind(local);
    }
    socket.connect(remote);
    return socket;
  }
}
