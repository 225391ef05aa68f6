package org.kerftally.config;

import org.jspecify.annotations.Nullable;

/**
 * States where the live board listens.
 *
 * @param host a host name or address without brackets, or {@code null} when the board is off
 * @param port the TCP port, or 0 when the board is off
 * @param token where the token is that a reader has to show, or {@code null} for none
 * @param plainText whether the board may be read from other machines in clear
 */
public record BoardConfig(
    @Nullable String host, int port, @Nullable SecretPlace token, PlainText plainText) {

  /** This machine alone, port 8418. */
  public static final BoardConfig DEFAULT = new BoardConfig("127.0.0.1", 8418);

  /** No board: {@code board: off}. */
  public static final BoardConfig OFF = new BoardConfig(null, 0);

  /** States a board that asks for no token. */
  public BoardConfig(@Nullable String host, int port) {
    this(host, port, null, PlainText.REFUSED);
  }

  /** Tells whether there is a board at all. */
  public boolean isOn() {
    return host != null;
  }

  /**
   * Tells whether only this machine can reach the board. Decided from the text alone, nothing is
   * looked up: {@code 127.x.x.x}, {@code ::1} and {@code localhost} are loopback, all else is not.
   * True when the board is off.
   */
  public boolean isLoopback() {
    return host == null || Loopback.isHost(host);
  }
}
