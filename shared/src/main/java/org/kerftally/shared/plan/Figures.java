package org.kerftally.shared.plan;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * States what a plan achieves beyond its cost, and how much of it is proven.
 *
 * <p>The objectives come in the order of the components; a bound or proof of one holds among the
 * plans that are as good in all before it. Those from {@code openParts} on hold among the orders in
 * which this plan's own patterns can be cut, each material by itself.
 *
 * @param mostMade whether it is proven that what is left out is the least important there can be
 * @param sticks the sticks taken from the rack
 * @param offcutValue what the offcuts kept are worth, in the stock's cost unit
 * @param offcutValueBound a safe upper bound on that
 * @param longestOffcut the longest offcut kept, zero for none
 * @param longestOffcutBound a safe upper bound on that
 * @param patterns the distinct patterns: sticks of one sort with other counts of lengths
 * @param openParts the most parts that are open at once: begun and not yet finished
 * @param openLimit how many parts may be open at once, or {@code null} for as few as can be
 * @param stopMoves how often the stop is sent to another position, the first included
 * @param stopTravelMillis how long the stop moves for that, the way to the first left out
 * @param stopTravelProven whether no order with as few moves takes less
 * @param stockLength the lengths of the sticks used
 * @param partLength the lengths of the parts made
 * @param kerfLength what the blade takes between them
 * @param trimLength what squaring the sticks takes
 * @param wasteLength the remainders not worth keeping
 * @param offcutLength the remainders kept
 */
public record Figures(
    boolean mostMade,
    Figure sticks,
    BigDecimal offcutValue,
    BigDecimal offcutValueBound,
    Length longestOffcut,
    Length longestOffcutBound,
    Figure patterns,
    Figure openParts,
    @Nullable Integer openLimit,
    Figure stopMoves,
    long stopTravelMillis,
    boolean stopTravelProven,
    Length stockLength,
    Length partLength,
    Length kerfLength,
    Length trimLength,
    Length wasteLength,
    Length offcutLength) {

  private static final int YIELD_DECIMALS = 6;

  /** Tells whether no plan keeps offcuts worth more. */
  public boolean offcutValueProven() {
    return offcutValue.compareTo(offcutValueBound) == 0;
  }

  /** Tells whether no plan keeps a longer offcut. */
  public boolean longestOffcutProven() {
    return longestOffcut.equals(longestOffcutBound);
  }

  /** Returns the parts' share of the sticks, 1 where nothing is used. */
  public BigDecimal yieldShare() {
    return stockLength.isPositive()
        ? partLength.toMm().divide(stockLength.toMm(), YIELD_DECIMALS, RoundingMode.HALF_EVEN)
        : BigDecimal.ONE;
  }
}
