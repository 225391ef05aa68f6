package org.kerftally.sim.mqtt;

import java.io.FilterInputStream;
import java.io.FilterOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.InterruptedIOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import javax.net.SocketFactory;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.tls.TlsLayer;
import org.kerftally.config.tls.TlsSocket;

/**
 * Makes the one socket of a connection, and takes it away as a power cut does: the peer gets a
 * reset, never a goodbye, so the broker publishes the last will. Other ways of making sockets are
 * not used by the client library and refused.
 *
 * <p>Nothing is read before something was written. The library starts its threads one after the
 * other and waits for each; when a connection ends in between, it waits for ever and leaves a
 * thread behind. It writes only once all are started, and in MQTT the client speaks first. So the
 * first write marks the moment from which a connection may end: {@link #awaitBegun()}.
 */
final class ResettableSockets extends SocketFactory {

  /** Longer than a connect may take: then it has failed and started nothing. */
  private static final long MAX_WAIT_MILLIS = 15_000;

  private final CountDownLatch begun = new CountDownLatch(1);
  private final @Nullable TlsLayer tls;
  private final String host;
  private @Nullable Socket socket;
  private boolean reset;

  /** Makes a socket, with TLS laid over it unless that is {@code null}. */
  ResettableSockets(@Nullable TlsLayer tls, String host) {
    this.tls = tls;
    this.host = host;
  }

  @Override
  public synchronized Socket createSocket() throws IOException {
    if (reset) {
      throw new IOException("the connection was taken away");
    }
    // Under TLS the socket has to shake hands before the library begins: the layer above waits.
    Socket made = tls == null ? new BegunSocket() : new Socket();
    made.setTcpNoDelay(true);
    socket = made;
    return tls == null ? made : new TlsSocket(made, tls, host, BegunInput::new, BegunOutput::new);
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

  /** Says that the first byte is about to be written, or that nothing was or will be started. */
  void markBegun() {
    begun.countDown();
  }

  /** Waits, a bounded time, until the library may be told that the connection ends. */
  void awaitBegun() throws InterruptedIOException {
    try {
      boolean unused = begun.await(MAX_WAIT_MILLIS, TimeUnit.MILLISECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InterruptedIOException("interrupted before the connection had begun");
    }
  }

  private final class BegunSocket extends Socket {

    @Override
    public InputStream getInputStream() throws IOException {
      return new BegunInput(super.getInputStream());
    }

    @Override
    public OutputStream getOutputStream() throws IOException {
      return new BegunOutput(super.getOutputStream());
    }
  }

  private final class BegunInput extends FilterInputStream {

    BegunInput(InputStream in) {
      super(in);
    }

    @Override
    public int read() throws IOException {
      awaitBegun();
      return super.read();
    }

    @Override
    public int read(byte[] buffer, int offset, int length) throws IOException {
      awaitBegun();
      return super.read(buffer, offset, length);
    }

    @Override
    public int available() throws IOException {
      awaitBegun();
      return super.available();
    }
  }

  private final class BegunOutput extends FilterOutputStream {

    BegunOutput(OutputStream out) {
      super(out);
    }

    @Override
    public void write(int b) throws IOException {
      markBegun();
      out.write(b);
    }

    @Override
    public void write(byte[] buffer, int offset, int length) throws IOException {
      markBegun();
      out.write(buffer, offset, length);
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
