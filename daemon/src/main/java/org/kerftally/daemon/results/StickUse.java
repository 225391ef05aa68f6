package org.kerftally.daemon.results;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.kerftally.shared.length.Length;

/**
 * Adds up what a job took from the rack and what became of it.
 *
 * @param loaded how many sticks were put in the saw
 * @param loadedLength their lengths, as measured where the device measures
 * @param material the material of the stick loaded last, or the empty text
 * @param inSaw what of that stick still lies in the saw, uncut and sound
 * @param good the lengths of the good parts
 * @param kept the lengths of the remainders kept as offcuts
 */
public record StickUse(
    int loaded, Length loadedLength, String material, Length inSaw, Length good, Length kept) {

  static final StickUse NONE =
      new StickUse(0, Length.ZERO, "", Length.ZERO, Length.ZERO, Length.ZERO);

  /** Returns the length used up so far: what was loaded, without what still lies in the saw. */
  public Length used() {
    return loadedLength.minus(inSaw);
  }

  /** Returns what became neither part nor offcut: kerfs, trims, rejected pieces and the rest. */
  public Length waste() {
    return used().minus(good).minus(kept).max(Length.ZERO);
  }

  /**
   * Returns the yield: the good parts' share of the length used, from 0 to 1, rounded half up to
   * four decimals; 0 while nothing is used.
   */
  public BigDecimal yieldShare() {
    return Shares.of(good, used(), 4, RoundingMode.HALF_UP);
  }

  StickUse load(Length length, String of) {
    return new StickUse(loaded + 1, loadedLength.plus(length), of, length, good, kept);
  }

  StickUse leaving(Length left) {
    return new StickUse(loaded, loadedLength, material, left, good, kept);
  }

  StickUse withGood(Length change) {
    return new StickUse(loaded, loadedLength, material, inSaw, good.plus(change), kept);
  }

  StickUse keeping(Length offcut) {
    return new StickUse(loaded, loadedLength, material, inSaw, good, kept.plus(offcut));
  }
}
