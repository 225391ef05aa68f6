package org.kerftally.daemon.board;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.cutlog.LoggedFault;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.DriveBegun;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;

/**
 * Says what went wrong at one station since its log began: what stands and since when, how long it
 * was down, and the latest saw cycles that are no part.
 *
 * <p>Down is the time in which at least one fault stood or the link was lost: the union of the rows
 * of {@code fault_log}, so that two faults at once count once. A wall clock that is set back takes
 * nothing away again.
 *
 * @param standing since when each standing fault stands, and a lost link under {@link
 *     LoggedFault#LINK_DOWN}
 * @param linkAwaitedSince since when there is no link, or {@code null} while it is up; also before
 *     it came up for the first time since the start
 * @param down how long the station was down, up to {@code downSince} where it is now
 * @param downSince since when it is down, or {@code null} when it is not
 * @param latest the latest suspect and unattributed cuts, newest first, at most {@value
 *     #MAX_LATEST}
 */
public record StationIncidents(
    Map<String, Instant> standing,
    @Nullable Instant linkAwaitedSince,
    Duration down,
    @Nullable Instant downSince,
    List<OddCut> latest) {

  /** Nothing happened yet. */
  public static final StationIncidents NONE =
      new StationIncidents(Map.of(), null, Duration.ZERO, null, List.of());

  /** Most cuts listed one by one. */
  static final int MAX_LATEST = 5;

  /** Copies map and list. */
  public StationIncidents {
    standing = Map.copyOf(standing);
    latest = List.copyOf(latest);
  }

  /**
   * Describes a saw cycle that is no part.
   *
   * @param at when it was booked
   * @param kind suspect or unattributed
   * @param boot the device's power-up that counted it
   * @param count its number there
   * @param remark why, or {@code null}
   */
  public record OddCut(
      Instant at, CutKind kind, String boot, long count, @Nullable String remark) {}

  /** Returns how long the station was down, up to now. */
  public Duration downUntil(Instant now) {
    Instant since = downSince;
    return since == null ? down : down.plus(between(since, now));
  }

  private static Duration between(Instant from, Instant to) {
    return to.isBefore(from) ? Duration.ZERO : Duration.between(from, to);
  }

  /** Returns the incidents after one more event of the station. */
  StationIncidents apply(Recorded recorded) {
    Event event = recorded.event();
    Instant at = recorded.at();
    if (event instanceof FaultRaised e) {
      return raised(e.code(), at);
    } else if (event instanceof FaultCleared e) {
      return cleared(e.code(), at);
    } else if (event instanceof LinkDown) {
      return raised(LoggedFault.LINK_DOWN, at).withLink(at);
    } else if (event instanceof LinkUp) {
      return cleared(LoggedFault.LINK_DOWN, at).withLink(null);
    } else if (event instanceof DriveBegun) {
      return withLink(linkAwaitedSince == null ? at : linkAwaitedSince);
    } else if (event instanceof CutBooked e
        && (e.kind() == CutKind.SUSPECT || e.kind() == CutKind.UNATTRIBUTED)) {
      return with(new OddCut(at, e.kind(), e.boot(), e.count(), e.remark()));
    }
    return this;
  }

  private StationIncidents raised(String code, Instant at) {
    if (standing.containsKey(code)) {
      return this;
    }
    Map<String, Instant> more = new HashMap<>(standing);
    more.put(code, at);
    return new StationIncidents(
        more, linkAwaitedSince, down, downSince == null ? at : downSince, latest);
  }

  private StationIncidents cleared(String code, Instant at) {
    if (!standing.containsKey(code)) {
      return this;
    }
    Map<String, Instant> less = new HashMap<>(standing);
    less.remove(code);
    return less.isEmpty()
        ? new StationIncidents(less, linkAwaitedSince, downUntil(at), null, latest)
        : new StationIncidents(less, linkAwaitedSince, down, downSince, latest);
  }

  private StationIncidents withLink(@Nullable Instant since) {
    return new StationIncidents(standing, since, down, downSince, latest);
  }

  private StationIncidents with(OddCut cut) {
    List<OddCut> list = new ArrayList<>(latest);
    list.add(0, cut);
    return new StationIncidents(
        standing,
        linkAwaitedSince,
        down,
        downSince,
        list.subList(0, Math.min(list.size(), MAX_LATEST)));
  }
}
