package org.kerftally.daemon.planning.packing;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * Finds the fullest pattern for one stick: the minimum bin slack search of Gupta and Ho (1999) with
 * the lead piece held, as in the variant MBS' of Fleszar and Hindi (2002).
 *
 * <p>Depth first, larger pieces first and as many of each as go in, so that the first pattern
 * looked at is that of first fit decreasing. Cut off by a count of nodes, then the fullest so far
 * is given. Reusable; not thread-safe.
 */
final class FillSearch {

  private final Instance instance;
  private final int[] taken;
  private final int[] best;
  private final long[] sumFrom;
  private int[] left = new int[0];
  private long hole;
  private long bestRoom;
  private long nodesLeft;

  FillSearch(Instance instance) {
    this.instance = instance;
    this.taken = new int[instance.itemCount()];
    this.best = new int[instance.itemCount()];
    this.sumFrom = new long[instance.itemCount() + 1];
  }

  /**
   * Finds the fullest pattern that holds at least one of the lead item and no more of any item than
   * is left.
   *
   * @param left how many of each item are left
   * @param type the stick type to fill
   * @param lead the item to hold, with at least one left; items larger than it are not used
   * @param nodeLimit how many patterns to look at
   * @return the pattern, or {@code null} when the lead piece does not fit
   */
  @Nullable Pattern fullest(int[] left, int type, int lead, int nodeLimit) {
    StickType stick = instance.types().get(type);
    long room = stick.reach() - instance.sizes[lead];
    if (!stick.fits(instance.sizes[lead])) {
      return null;
    }
    this.left = left;
    this.hole = stick.flush() - stick.capacity();
    this.nodesLeft = nodeLimit;
    this.bestRoom = Long.MAX_VALUE;
    sumFrom[left.length] = 0;
    for (int i = left.length - 1; i >= lead; i--) {
      sumFrom[i] = sumFrom[i + 1] + instance.sizes[i] * (left[i] - (i == lead ? 1 : 0));
    }
    Arrays.fill(taken, 0);
    taken[lead] = 1;
    search(lead, room);
    return Pattern.of(instance, type, best);
  }

  /** Fills {@code room} from item {@code from} on; tells whether to go on searching. */
  private boolean search(int from, long room) {
    if (room < bestRoom && (room == 0 || room >= hole)) {
      bestRoom = room;
      System.arraycopy(taken, 0, best, 0, taken.length);
    }
    if (bestRoom == 0 || --nodesLeft < 0) {
      return false;
    }
    for (int i = from; i < left.length; i++) {
      if (room - sumFrom[i] >= bestRoom) {
        return true;
      }
      int held = taken[i];
      long most = Math.min(left[i] - held, room / instance.sizes[i]);
      for (int more = (int) most; more > 0; more--) {
        taken[i] = held + more;
        boolean goOn = search(i + 1, room - more * instance.sizes[i]);
        taken[i] = held;
        if (!goOn) {
          return false;
        }
      }
    }
    return true;
  }
}
