package org.kerftally.protocol.mqtt;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.util.ArrayList;
import java.util.List;
import javax.net.SocketFactory;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.tls.TlsLayer;
import org.kerftally.config.tls.TlsSocket;

/**
 * Makes the sockets of one connection and can drop them at once.
 *
 * <p>Small messages go out without waiting for the acknowledgement of earlier ones. Dropping resets
 * the connection instead of closing it: what the kernel has not sent yet is thrown away, so a
 * target cannot leave this machine after the link gave it up. It is the plain socket that is reset,
 * also under TLS: a layer that says goodbye first could wait for a peer that swallows everything.
 */
final class LinkSockets extends SocketFactory {

  private final Beginning beginning = new Beginning();
  private final @Nullable TlsLayer tls;
  private final String host;
  private final List<Socket> made = new ArrayList<>();
  private boolean dropped;

  /**
   * Makes sockets.
   *
   * @param tls what is laid over them, or {@code null} for nothing
   * @param host the name that the other end's certificate has to hold
   */
  LinkSockets(@Nullable TlsLayer tls, String host) {
    this.tls = tls;
    this.host = host;
  }

  @Override
  public synchronized Socket createSocket() throws IOException {
    if (dropped) {
      throw new IOException("the connection was given up");
    }
    // Under TLS the socket has to shake hands before the library begins: the layer above waits.
    Socket socket = new PromptSocket(tls == null ? beginning : Beginning.past());
    socket.setTcpNoDelay(true);
    made.add(socket);
    if (tls == null) {
      return socket;
    }
    return new TlsSocket(
        socket,
        tls,
        host,
        in -> new PromptSocket.Reading(in, beginning, null),
        out -> new PromptSocket.Writing(out, beginning));
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
