package org.kerftally.daemon.board;

import java.util.List;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.Offcut;

/**
 * Adds up the offcuts to hand.
 *
 * @param count how many there are
 * @param length their lengths together
 */
public record OffcutTotals(int count, Length length) {

  /** No offcut. */
  public static final OffcutTotals NONE = new OffcutTotals(0, Length.ZERO);

  /** Adds up the offcuts. */
  public static OffcutTotals of(List<Offcut> offcuts) {
    Length length = Length.ZERO;
    for (Offcut offcut : offcuts) {
      length = length.plus(offcut.length());
    }
    return new OffcutTotals(offcuts.size(), length);
  }
}
