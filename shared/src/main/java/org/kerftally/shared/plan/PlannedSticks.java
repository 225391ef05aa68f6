package org.kerftally.shared.plan;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StickKind;

/**
 * Describes equal sticks that are cut alike: one cut pattern in the order its parts are cut.
 *
 * @param material the stock's material
 * @param length the length of each stick
 * @param kind where the sticks come from
 * @param label the stick's label, or {@code null}
 * @param cost the cost of one stick
 * @param repeat how many such sticks are cut, at least 1
 * @param leadTrim all that the squaring cut takes; zero for a stick already squared
 * @param cuts the cuts in order, at least one
 * @param rest what remains behind the last cut: zero when flush or by a sliver cut
 * @param offcut the same when worth keeping, else {@code null}
 * @param cutOrder how the order goes on from stick to stick; {@code null} for the same in each
 */
public record PlannedSticks(
    String material,
    Length length,
    StickKind kind,
    @Nullable String label,
    BigDecimal cost,
    int repeat,
    Length leadTrim,
    List<Cut> cuts,
    Length rest,
    @Nullable Length offcut,
    @Nullable CutOrder cutOrder) {

  /** Copies the list. */
  public PlannedSticks {
    cuts = List.copyOf(cuts);
  }

  /** Describes sticks that are each cut in the same order. */
  public PlannedSticks(
      String material,
      Length length,
      StickKind kind,
      @Nullable String label,
      BigDecimal cost,
      int repeat,
      Length leadTrim,
      List<Cut> cuts,
      Length rest,
      @Nullable Length offcut) {
    this(material, length, kind, label, cost, repeat, leadTrim, cuts, rest, offcut, null);
  }

  /** Returns one of these sticks by itself. */
  public PlannedSticks single() {
    return repeated(1);
  }

  /** Returns the same sticks in another number. */
  public PlannedSticks repeated(int times) {
    return new PlannedSticks(
        material, length, kind, label, cost, times, leadTrim, cuts, rest, offcut, cutOrder);
  }

  /** Returns the same sticks with their cuts in another order. */
  public PlannedSticks ordered(List<Cut> order, @Nullable CutOrder goingOn) {
    return new PlannedSticks(
        material, length, kind, label, cost, repeat, leadTrim, order, rest, offcut, goingOn);
  }

  /** Returns what is still to be cut when the first of several of these sticks is loaded. */
  public PlannedSticks afterFirst() {
    List<Cut> next = new ArrayList<>(cuts);
    if (cutOrder == CutOrder.TURNING) {
      Collections.reverse(next);
    }
    return ordered(next, cutOrder).repeated(repeat - 1);
  }
}
