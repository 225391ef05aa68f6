package org.kerftally.daemon.cutlog;

/** Says that a stored value does not read as what it should be, and where in its JSON. */
final class FormatException extends Exception {

  private static final long serialVersionUID = 1L;

  /**
   * Names a place and what is wrong there.
   *
   * @param path the place as a JSON path, {@code $.parts[3].length_nm}
   * @param message what was expected and what was found
   */
  FormatException(String path, String message) {
    super(path + ": " + message);
  }
}
