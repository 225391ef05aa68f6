package org.kerftally.config;

import java.time.Duration;
import org.kerftally.shared.length.Length;

/**
 * States how well the stop has to stand before it counts as in position, and from which side it
 * comes there.
 *
 * @param dwell how long the stop has to read within the window before it counts as in position
 * @param settle how long the device's word that the target is reached waits to be believed
 * @param from the side the last stretch of every move comes from
 * @param overshoot how far beyond the target the stop goes first when it would come from the other
 *     side, more than zero
 */
public record QualityConfig(Duration dwell, Duration settle, From from, Length overshoot) {

  /** Two millimetres: more play than a stop in order has. */
  public static final Length DEFAULT_OVERSHOOT = Length.ofMm(2);

  /** The device's word is taken as it comes, and moves go as they fall. */
  public static final QualityConfig NONE =
      new QualityConfig(Duration.ZERO, Duration.ZERO, From.EITHER, DEFAULT_OVERSHOOT);

  /** Names the side that the last stretch of a move comes from. */
  public enum From {
    /** As it falls. */
    EITHER("either"),
    /** From larger positions. */
    ABOVE("above"),
    /** From smaller positions. */
    BELOW("below");

    private final String word;

    From(String word) {
      this.word = word;
    }

    /** Returns the word used in files. */
    public String word() {
      return word;
    }
  }

  /** Tells whether the device's word that a target is reached is looked over. */
  public boolean looksOver() {
    return !dwell.isZero() || !settle.isZero();
  }

  /** Tells whether every move has to come from one side. */
  public boolean hasSide() {
    return from != From.EITHER;
  }

  /** Tells whether anything is asked for. */
  public boolean asks() {
    return looksOver() || hasSide();
  }
}
