package org.kerftally.daemon.planning.packing;

/**
 * Bounds from above what pieces can weigh in a room: {@code most(j, r)} is the most that pieces of
 * the j-th size and the sizes after it can weigh in room r, where what is left of the room may be
 * no longer than the limit on waste.
 *
 * <p>Rooms too many for a table are looked up on a coarser grid, sizes and rooms both rounded down:
 * whatever fits then fits on the grid, so the table still bounds from above. Filled by bounded
 * knapsack over lots of 1, 2, 4 … pieces, the last size first.
 */
final class RoomTable {

  /** The widest table; beyond it rooms are looked up on a grid. */
  private static final int MOST_WIDTH = 6_000;

  private static final int MOST_CELLS = 6_000_000;
  private static final long NOWHERE = Long.MIN_VALUE / 4;

  private final long[] sizes;
  private final int[] demands;
  private final long wasteLimit;
  private final long grid;
  private final int width;
  private final int stride;
  private final long[] cells;

  /**
   * Makes an empty table.
   *
   * @param sizes falling, none above {@code reach}; kept, not copied
   * @param demands how many pieces of each size there are; kept, not copied
   * @param reach the largest room
   * @param wasteLimit the longest room that may be left empty
   */
  RoomTable(long[] sizes, int[] demands, long reach, long wasteLimit) {
    this.sizes = sizes;
    this.demands = demands;
    this.wasteLimit = wasteLimit;
    long room = Math.min(MOST_WIDTH, MOST_CELLS / (sizes.length + 1));
    this.grid = Math.max(1, (reach + room - 1) / room);
    this.width = (int) (reach / grid);
    this.stride = width + 1;
    this.cells = new long[(sizes.length + 1) * stride];
  }

  /** Returns a bound on what the sizes from a position on weigh in a room, or hardly anything. */
  long most(int from, long room) {
    return cells[from * stride + (int) (room / grid)];
  }

  /**
   * Fills the table.
   *
   * @param weights by position, at least 0
   * @return the number of cells
   */
  long fill(long[] weights) {
    int n = sizes.length;
    long longest = n == 0 ? 0 : width * grid / sizes[n - 1] + 1;
    long last = grid == 1 ? wasteLimit : wasteLimit / grid + longest;
    for (int r = 0; r <= width; r++) {
      cells[n * stride + r] = r <= last ? 0 : NOWHERE;
    }
    for (int j = n - 1; j >= 0; j--) {
      int at = j * stride;
      System.arraycopy(cells, at + stride, cells, at, stride);
      int size = (int) (sizes[j] / grid);
      boolean useless = weights[j] <= 0 && last >= width;
      long left = useless ? 0 : demands[j];
      for (long lot = 1; left > 0; lot *= 2) {
        long pieces = Math.min(lot, left);
        left -= pieces;
        offer(at, (int) (pieces * size), pieces * weights[j]);
      }
    }
    return (long) n * stride;
  }

  private void offer(int at, int step, long gain) {
    for (int r = width; r >= step; r--) {
      long value = cells[at + r - step] + gain;
      if (value > cells[at + r]) {
        cells[at + r] = value;
      }
    }
  }
}
