package org.kerftally.daemon.planning.packing;

import java.util.List;

/**
 * Says what remains of a stick and whether it is worth keeping, in whole nanometres: packing knows
 * sizes only, and rounds a stick down to what they can fill.
 *
 * @param lengthsNm the length of each type's sticks, less the lead trim
 * @param unitNm the length of one unit of size
 * @param leastNm the least remainder worth keeping
 */
public record OffcutRule(List<Long> lengthsNm, long unitNm, long leastNm) {

  /** Copies the list. */
  public OffcutRule {
    lengthsNm = List.copyOf(lengthsNm);
  }

  /** Returns what remains of a stick of a type; below zero where the last cut is not whole. */
  long remainderNm(int type, long fill) {
    return lengthsNm.get(type) - unitNm * fill;
  }

  /** Returns what is kept of a stick of a type, 0 where its remainder is not worth it. */
  long keptNm(int type, long fill) {
    long remainder = remainderNm(type, fill);
    return remainder > 0 && remainder >= leastNm ? remainder : 0;
  }

  long keptNm(Packing.Use use) {
    return keptNm(use.pattern().type, use.pattern().fill());
  }

  /** Returns the sum of the offcuts a packing keeps. */
  public long keptNm(Packing packing) {
    return packing.uses().stream().mapToLong(use -> keptNm(use) * use.times()).sum();
  }

  /** Returns the longest offcut a packing keeps, 0 for none. */
  public long longestNm(Packing packing) {
    return packing.uses().stream().mapToLong(this::keptNm).max().orElse(0);
  }
}
