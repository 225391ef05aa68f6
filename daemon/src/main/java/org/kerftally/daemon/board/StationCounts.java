package org.kerftally.daemon.board;

import java.util.EnumMap;
import java.util.Map;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.event.StationEvent.TargetSet;

/**
 * Counts what happened at one station since its log began. No count ever falls: a part that is
 * rejected stays counted as made and is counted as rejected too.
 *
 * @param cuts the saw cycles booked, by what they were booked as; kinds that never came are absent
 * @param made the parts made
 * @param rejected the parts rejected afterwards
 * @param faults the faults that came up
 * @param targets the targets decided on and written to be sent
 * @param sticks the sticks put in the saw
 */
public record StationCounts(
    Map<CutKind, Long> cuts, long made, long rejected, long faults, long targets, long sticks) {

  /** Nothing happened yet. */
  public static final StationCounts NONE = new StationCounts(Map.of(), 0, 0, 0, 0, 0);

  /** Copies the map. */
  public StationCounts {
    cuts = Map.copyOf(cuts);
  }

  /** Returns how many cycles were booked as this kind. */
  public long cuts(CutKind kind) {
    return cuts.getOrDefault(kind, 0L);
  }

  /** Returns the counts after one more event of the station. */
  StationCounts apply(Event event) {
    if (event instanceof CutBooked e) {
      Map<CutKind, Long> more = new EnumMap<>(CutKind.class);
      more.putAll(cuts);
      more.merge(e.kind(), 1L, Long::sum);
      long part = e.kind() == CutKind.PART ? 1 : 0;
      return new StationCounts(more, made + part, rejected, faults, targets, sticks);
    } else if (event instanceof PieceRemained) {
      return new StationCounts(cuts, made + 1, rejected, faults, targets, sticks);
    } else if (event instanceof PieceRejected) {
      return new StationCounts(cuts, made, rejected + 1, faults, targets, sticks);
    } else if (event instanceof FaultRaised) {
      return new StationCounts(cuts, made, rejected, faults + 1, targets, sticks);
    } else if (event instanceof TargetSet) {
      return new StationCounts(cuts, made, rejected, faults, targets + 1, sticks);
    } else if (event instanceof StickLoaded) {
      return new StationCounts(cuts, made, rejected, faults, targets, sticks + 1);
    }
    return this;
  }
}
