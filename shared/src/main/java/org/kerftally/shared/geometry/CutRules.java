package org.kerftally.shared.geometry;

import org.kerftally.shared.length.Length;

/**
 * States what the saw takes and what it can hold: the constants of every cut pattern.
 *
 * <p>A pattern of parts p1..pn fits a stick of length L when the remainder r = L − leadTrim − Σ(pj
 * + kerf) is at least the tail allowance; without a tail allowance r ≥ −kerf fits too, because the
 * last piece may end flush with the stick (r = −kerf, no cut) or by a sliver cut (−kerf &lt; r &lt;
 * 0) where slivers are allowed.
 *
 * @param kerf the width the blade removes
 * @param leadTrim all that the squaring cut takes from a stick's leading end, its kerf included
 * @param tail what the clamp or pusher must still hold after the last cut; zero for none
 * @param minOffcut the least remainder worth keeping
 * @param sliverCuts whether a last cut that removes less than a kerf is allowed
 */
public record CutRules(
    Length kerf, Length leadTrim, Length tail, Length minOffcut, boolean sliverCuts) {

  /**
   * Returns what remains behind the last cut.
   *
   * @param stick the stick's length
   * @param trim the lead trim of this stick
   * @param sumOfParts the sum of the parts' lengths
   * @param parts how many parts are cut from it
   */
  public Length remainder(Length stick, Length trim, Length sumOfParts, int parts) {
    return stick.minus(trim).minus(sumOfParts).minus(kerf.times(parts));
  }

  /** Tells whether a pattern that leaves this remainder can be cut. */
  public boolean fits(Length remainder) {
    if (tail.isPositive()) {
      return !remainder.isLessThan(tail);
    }
    if (!remainder.isNegative() || remainder.plus(kerf).nm() == 0) {
      return true;
    }
    return sliverCuts && remainder.plus(kerf).isPositive();
  }

  /** Tells whether a remainder is worth keeping as an offcut. */
  public boolean worthKeeping(Length remainder) {
    return remainder.isPositive() && !remainder.isLessThan(minOffcut);
  }
}
