package org.kerftally.daemon.board;

import java.io.BufferedInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/** Asks over a plain socket, so that every byte of the request is the test's own. */
final class Http implements AutoCloseable {

  private static final int LIMIT_MILLIS = 30_000;

  private final Socket socket;
  private final InputStream in;
  private int status;
  private boolean chunked;
  private int chunkLeft;
  private final Map<String, String> headers = new TreeMap<>();

  private Http(String url, String request) throws IOException {
    URI base = URI.create(url);
    socket = new Socket();
    socket.connect(new InetSocketAddress(base.getHost(), base.getPort()), LIMIT_MILLIS);
    socket.setSoTimeout(LIMIT_MILLIS);
    in = new BufferedInputStream(socket.getInputStream());
    socket.getOutputStream().write(request.getBytes(StandardCharsets.ISO_8859_1));
    socket.getOutputStream().flush();
  }

  /** Asks and reads the head of the answer; the body is still to be read. */
  static Http ask(String url, String method, String path, String... headers) throws IOException {
    StringBuilder request = new StringBuilder(method + " " + path + " HTTP/1.1\r\n");
    if (String.join(" ", headers).indexOf("Host:") < 0) {
      request.append("Host: ").append(URI.create(url).getAuthority()).append("\r\n");
    }
    for (String header : headers) {
      request.append(header).append("\r\n");
    }
    Http http = new Http(url, request.append("Connection: close\r\n\r\n").toString());
    http.readHead();
    return http;
  }

  static Http get(String url, String path, String... headers) throws IOException {
    return ask(url, "GET", path, headers);
  }

  /** Sends the beginning of a request and no more. */
  static Http begin(String url, String beginning) throws IOException {
    return new Http(url, beginning);
  }

  /** Sends bytes as they are and tells whether an answer came before the connection ended. */
  static boolean isAnswered(String url, String request) throws IOException {
    try (Http http = new Http(url, request)) {
      return http.readLine() != null;
    } catch (java.net.SocketException e) {
      return false;
    }
  }

  int status() {
    return status;
  }

  @Nullable String header(String name) {
    return headers.get(name.toLowerCase(Locale.ROOT));
  }

  /** Reads to the end of the connection; only for answers of a known length. */
  String body() throws IOException {
    return new String(in.readAllBytes(), StandardCharsets.UTF_8);
  }

  /** Reads an event stream up to the next event of that name and returns its data. */
  String event(String name) throws IOException {
    String line;
    while ((line = readLine()) != null) {
      if (line.equals("event: " + name)) {
        String data = readLine();
        return data == null ? "" : data.substring("data: ".length());
      }
    }
    throw new IOException("the stream ended before an event " + name);
  }

  @Nullable String readLine() throws IOException {
    ByteArrayOutputStream line = new ByteArrayOutputStream();
    int b;
    while ((b = read()) >= 0) {
      if (b == '\n') {
        return line.toString(StandardCharsets.UTF_8).replace("\r", "");
      }
      line.write(b);
    }
    return null;
  }

  /** Reads a byte of the body, without the frame of a chunked one (RFC 9112, section 7.1). */
  private int read() throws IOException {
    if (!chunked) {
      return in.read();
    }
    if (chunkLeft == 0) {
      String size = readRawLine();
      if (size != null && size.isEmpty()) {
        size = readRawLine();
      }
      chunkLeft = size == null ? 0 : Integer.parseInt(size, 16);
    }
    if (chunkLeft == 0) {
      return -1;
    }
    chunkLeft--;
    return in.read();
  }

  private @Nullable String readRawLine() throws IOException {
    chunked = false;
    String line = readLine();
    chunked = true;
    return line;
  }

  @Override
  public void close() throws IOException {
    socket.close();
  }

  private void readHead() throws IOException {
    String line = readLine();
    if (line == null) {
      throw new IOException("no answer");
    }
    status = Integer.parseInt(line.split(" ", -1)[1]);
    while ((line = readLine()) != null && !line.isEmpty()) {
      int colon = line.indexOf(':');
      headers.put(
          line.substring(0, colon).toLowerCase(Locale.ROOT), line.substring(colon + 1).trim());
    }
    chunked = "chunked".equalsIgnoreCase(headers.get("transfer-encoding"));
  }
}
