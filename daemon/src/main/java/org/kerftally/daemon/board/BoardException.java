package org.kerftally.daemon.board;

import java.io.Serial;

/** Says why the board cannot listen, and what to do. */
public final class BoardException extends RuntimeException {

  @Serial private static final long serialVersionUID = 1L;

  BoardException(String message, Throwable cause) {
    super(message, cause);
  }
}
