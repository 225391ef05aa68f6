package org.kerftally.daemon.planning.packing;

import java.util.Comparator;

/**
 * Ranks packings by all that a shop minimises, the better first: cost, sticks handled, the length
 * of the offcuts kept, the longest of them, distinct patterns; and at last, offcuts used up rather
 * than new sticks. An offcut's worth is its length at one price, so its length is enough here.
 */
final class Ranking implements Comparator<Packing> {

  private final OffcutRule offcuts;

  Ranking(OffcutRule offcuts) {
    this.offcuts = offcuts;
  }

  @Override
  public int compare(Packing one, Packing other) {
    int first = Long.compare(one.cost(), other.cost());
    first = first != 0 ? first : Long.compare(one.handled(), other.handled());
    first = first != 0 ? first : Long.compare(offcuts.keptNm(other), offcuts.keptNm(one));
    first = first != 0 ? first : Long.compare(offcuts.longestNm(other), offcuts.longestNm(one));
    first = first != 0 ? first : Integer.compare(one.uses().size(), other.uses().size());
    return first != 0 ? first : Long.compare(other.offcuts(), one.offcuts());
  }
}
