package org.kerftally.daemon.board;

import com.sun.net.httpserver.HttpExchange;
import java.io.IOException;
import java.nio.charset.StandardCharsets;

/**
 * Holds a whole answer: small, made before a byte of it is sent.
 *
 * @param status the HTTP status
 * @param type the content type
 * @param body the content; sent for GET, only its length told for HEAD
 */
@SuppressWarnings("ArrayRecordComponent") // Sent once, never compared.
record Reply(int status, String type, byte[] body) {

  static final String TEXT = "text/plain; charset=utf-8";
  static final String JSON = "application/json";

  /** Returns an answer of one line of text. */
  static Reply text(int status, String line) {
    return new Reply(status, TEXT, (line + "\n").getBytes(StandardCharsets.UTF_8));
  }

  /** Returns an answer with a JSON body. */
  static Reply json(byte[] body) {
    return new Reply(200, JSON, body);
  }

  /** Sends the answer and ends the exchange. */
  void send(HttpExchange exchange) throws IOException {
    try (exchange) {
      exchange.getResponseHeaders().set("Content-Type", type);
      if (exchange.getRequestMethod().equals("HEAD")) {
        exchange.getResponseHeaders().set("Content-Length", Integer.toString(body.length));
        exchange.sendResponseHeaders(status, -1);
      } else {
        exchange.sendResponseHeaders(status, body.length);
        exchange.getResponseBody().write(body);
      }
    }
  }
}
