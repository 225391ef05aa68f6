package org.kerftally.daemon.cutlog;

import org.kerftally.daemon.codec.WordFormat;
import org.kerftally.shared.stock.Offcut;

/**
 * Describes an offcut made here and where it is.
 *
 * @param offcut the offcut
 * @param state where it is
 */
public record LoggedOffcut(Offcut offcut, State state) {

  /** Says where an offcut is. */
  public enum State {
    /** It lies on the rack and is counted from the cut log. */
    TO_HAND,
    /** It lies on the rack and is counted by the office's stock file, which lists its label. */
    LISTED,
    /** It was loaded into a saw. */
    USED;

    /**
     * Returns the word used in the cut log's views: {@code to-hand}, {@code listed}, {@code used}.
     */
    public String word() {
      return WordFormat.word(this);
    }
  }
}
