package org.kerftally.sim.mqtt;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import javax.net.SocketFactory;
import org.jspecify.annotations.Nullable;

/**
 * Makes the one socket of a connection, and takes it away as a power cut does: the peer gets a
 * reset, never a goodbye, so the broker publishes the last will. Other ways of making sockets are
 * not used by the client library and refused.
 */
final class ResettableSockets extends SocketFactory {

  private @Nullable Socket socket;
  private boolean reset;

  @Override
  public synchronized Socket createSocket() throws IOException {
    if (reset) {
      throw new IOException("the connection was taken away");
    }
    Socket made = new Socket();
    made.setTcpNoDelay(true);
    socket = made;
    return made;
  }

  synchronized void reset() {
    reset = true;
    Socket made = socket;
    if (made == null) {
      return;
    }
    try {
      made.setSoLinger(true, 0);
    } catch (IOException e) {
      // Closed already.
    }
    try {
      made.close();
    } catch (IOException e) {
      // A socket that cannot be closed is not used again either.
    }
  }

  @Override
  public Socket createSocket(String host, int port) {
    throw new UnsupportedOperationException();
  }

  @Override
  public Socket createSocket(String host, int port, InetAddress local, int localPort) {
    throw new UnsupportedOperationException();
  }

  @Override
  public Socket createSocket(InetAddress host, int port) {
    throw new UnsupportedOperationException();
  }

  @Override
  public Socket createSocket(InetAddress host, int port, InetAddress local, int localPort) {
    throw new UnsupportedOperationException();
  }
}
