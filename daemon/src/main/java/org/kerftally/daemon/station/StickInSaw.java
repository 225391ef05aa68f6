package org.kerftally.daemon.station;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.PlannedSticks;

/**
 * Describes the stick that lies in the saw.
 *
 * @param number its number within the job, from 1
 * @param planned the stick as planned
 * @param squared whether its leading end is square, so that parts can be cut
 * @param left what remains of it now, from its present leading end
 * @param cuts what is still to be cut from it, in order
 * @param lastPosition where the stop stood at the last cut from it, or {@code null}
 */
public record StickInSaw(
    int number,
    PlannedSticks planned,
    boolean squared,
    Length left,
    List<Cut> cuts,
    @Nullable Length lastPosition) {

  /** Copies the list. */
  public StickInSaw {
    cuts = List.copyOf(cuts);
  }

  /** Returns what remains for parts: what is left, less a squaring cut still to come. */
  Length usable() {
    return squared ? left : left.minus(planned.leadTrim()).max(Length.ZERO);
  }

  StickInSaw squaredTo(Length nowLeft, @Nullable Length position) {
    return new StickInSaw(number, planned, true, nowLeft, cuts, position);
  }

  StickInSaw leaving(Length nowLeft, @Nullable Length position) {
    return new StickInSaw(number, planned, squared, nowLeft, cuts, position);
  }

  StickInSaw withCuts(List<Cut> newCuts) {
    return new StickInSaw(number, planned, squared, left, newCuts, lastPosition);
  }

  StickInSaw withoutFirstCut() {
    return withCuts(cuts.subList(1, cuts.size()));
  }
}
