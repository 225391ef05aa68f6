package org.kerftally.config.tls;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketAddress;
import java.net.SocketException;
import java.util.function.UnaryOperator;
import javax.net.ssl.SSLSocket;
import org.jspecify.annotations.Nullable;

/**
 * Is a socket that shakes hands in TLS as part of connecting, for client libraries that make the
 * sockets they are given connect by themselves.
 *
 * <p>The plain socket beneath stays with whoever made it: closing that one ends this one at once,
 * without a goodbye. Streams may be wrapped, for what the maker has to see of them.
 */
public final class TlsSocket extends Socket {

  private final Socket plain;
  private final TlsLayer layer;
  private final String host;
  private final UnaryOperator<InputStream> reading;
  private final UnaryOperator<OutputStream> writing;
  private volatile @Nullable SSLSocket secured;
  private @Nullable InputStream input;
  private @Nullable OutputStream output;

  /**
   * Makes a socket over an unconnected one.
   *
   * @param host the name the other end's certificate has to hold
   * @param reading wraps what is read, once connected
   * @param writing wraps what is written, once connected
   */
  public TlsSocket(
      Socket plain,
      TlsLayer layer,
      String host,
      UnaryOperator<InputStream> reading,
      UnaryOperator<OutputStream> writing) {
    this.plain = plain;
    this.layer = layer;
    this.host = host;
    this.reading = reading;
    this.writing = writing;
  }

  @Override
  public void connect(SocketAddress endpoint) throws IOException {
    connect(endpoint, 0);
  }

  @Override
  public void connect(SocketAddress endpoint, int timeout) throws IOException {
    plain.connect(endpoint, timeout);
    int port = ((InetSocketAddress) endpoint).getPort();
    boolean done = false;
    try {
      secured = layer.over(plain, host, port, timeout);
      done = true;
    } finally {
      if (!done) {
        plain.close();
      }
    }
  }

  private SSLSocket secured() throws SocketException {
    SSLSocket now = secured;
    if (now == null) {
      throw new SocketException("not connected");
    }
    return now;
  }

  @Override
  public synchronized InputStream getInputStream() throws IOException {
    if (input == null) {
      input = reading.apply(secured().getInputStream());
    }
    return input;
  }

  @Override
  public synchronized OutputStream getOutputStream() throws IOException {
    if (output == null) {
      output = writing.apply(secured().getOutputStream());
    }
    return output;
  }

  @Override
  public synchronized void setSoTimeout(int timeout) throws SocketException {
    SSLSocket now = secured;
    if (now == null) {
      plain.setSoTimeout(timeout);
    } else {
      now.setSoTimeout(timeout);
    }
  }

  @Override
  public synchronized int getSoTimeout() throws SocketException {
    return plain.getSoTimeout();
  }

  @Override
  public void setTcpNoDelay(boolean on) throws SocketException {
    plain.setTcpNoDelay(on);
  }

  @Override
  public void setKeepAlive(boolean on) throws SocketException {
    plain.setKeepAlive(on);
  }

  @Override
  public void setSoLinger(boolean on, int linger) throws SocketException {
    plain.setSoLinger(on, linger);
  }

  @Override
  public boolean isConnected() {
    return secured != null;
  }

  @Override
  public boolean isClosed() {
    return plain.isClosed();
  }

  @Override
  public @Nullable InetAddress getInetAddress() {
    return plain.getInetAddress();
  }

  @Override
  public int getPort() {
    return plain.getPort();
  }

  @Override
  public int getLocalPort() {
    return plain.getLocalPort();
  }

  @Override
  public synchronized void close() throws IOException {
    SSLSocket now = secured;
    if (now != null) {
      now.close();
    }
    plain.close();
  }
}
