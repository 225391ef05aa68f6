package org.kerftally.daemon.codec;

/** Says that a stored value does not read as what it should be, and where in its JSON. */
public final class FormatException extends Exception {

  private static final long serialVersionUID = 1L;

  /**
   * Names a place and what is wrong there.
   *
   * @param path the place as a JSON path, {@code $.parts[3].length_nm}
   * @param message what was expected and what was found
   */
  public FormatException(String path, String message) {
    super(path + ": " + message);
  }
}
