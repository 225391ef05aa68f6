package org.kerftally.daemon.stock;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.ShopEvent.JobWithdrawn;
import org.kerftally.shared.event.ShopEvent.StockStated;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.JobUnqueued;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.Offcut;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Knows what is on the rack, what of it is spoken for, and so what a new plan may use.
 *
 * <p>Two people write about one rack: the office states what lies on it, in a file that only it
 * writes; the saw takes sticks from it and puts offcuts back. A count that both changed could not
 * be settled when they disagree. So the office's statement is the whole truth at its moment, and
 * everything after it is told from the cut log: a stick leaves when it is loaded, an offcut comes
 * when its stick is done with. Offcuts made here outlive a statement, since the office's file need
 * not list them; when it does list a label, the office counts that piece from there on.
 *
 * <p>A plan reserves its sticks from the moment it is in the log until each is loaded or the job is
 * over, so that two jobs are never planned onto one stick. A reservation is a claim, not a taking:
 * when the office states less than is reserved, nothing becomes negative, there is just nothing
 * free.
 *
 * <p>Pure and immutable: {@link #apply} returns the next ledger.
 */
public final class StockLedger {

  /** Nothing stated, nothing made, nothing reserved. */
  public static final StockLedger EMPTY = new StockLedger(List.of(), Map.of(), Reservations.NONE);

  private final List<StockItem> stated;
  private final Map<String, Offcut> made;
  private final Reservations reservations;

  private StockLedger(List<StockItem> stated, Map<String, Offcut> made, Reservations reservations) {
    this.stated = stated;
    this.made = made;
    this.reservations = reservations;
  }

  /** Returns the ledger after one more event of the log. */
  public StockLedger apply(Recorded recorded) {
    Event event = recorded.event();
    if (event instanceof StockStated e) {
      return restated(e);
    } else if (event instanceof StickLoaded e) {
      return loaded(e);
    } else if (event instanceof StickDone e) {
      return e.offcut() == null ? this : kept(e.offcut());
    } else if (event instanceof JobTaken e) {
      return reserving(reservations.with(e.order().id(), e.plan()));
    } else if (event instanceof JobQueued e) {
      return reserving(reservations.with(e.order().id(), e.plan()));
    } else if (event instanceof Replanned e) {
      return reserving(reservations.with(e.job(), e.plan()));
    } else if (event instanceof JobEnded e) {
      return reserving(reservations.without(e.job()));
    } else if (event instanceof JobUnqueued e) {
      return reserving(reservations.without(e.job()));
    } else if (event instanceof JobWithdrawn e) {
      return reserving(reservations.without(e.job()));
    }
    return this;
  }

  private StockLedger restated(StockStated event) {
    Set<String> listed = new HashSet<>();
    for (StockItem item : event.items()) {
      if (item.label() != null) {
        listed.add(item.label());
      }
    }
    Map<String, Offcut> ours = new LinkedHashMap<>(made);
    ours.keySet().removeAll(listed);
    return new StockLedger(new Rack(event.items()).items(), ours, reservations);
  }

  private StockLedger loaded(StickLoaded event) {
    PlannedSticks stick = event.planned().single();
    Reservations rest = reservations.loaded(event.job(), stick);
    if (stick.kind() == StickKind.OFFCUT
        && stick.label() != null
        && made.containsKey(stick.label())) {
      Map<String, Offcut> ours = new LinkedHashMap<>(made);
      ours.remove(stick.label());
      return new StockLedger(stated, ours, rest);
    }
    Rack rack = new Rack(stated);
    rack.take(stick);
    return new StockLedger(rack.items(), made, rest);
  }

  private StockLedger kept(Offcut offcut) {
    Map<String, Offcut> ours = new LinkedHashMap<>(made);
    ours.put(offcut.label(), offcut);
    return new StockLedger(stated, ours, reservations);
  }

  private StockLedger reserving(Reservations next) {
    return new StockLedger(stated, made, next);
  }

  /**
   * Returns what a plan may use: what is to hand less what other jobs have reserved.
   *
   * @param forJob the job that is planned, whose own reservation is free for it, or {@code null}
   *     for a new one
   */
  public List<StockItem> available(@Nullable String forJob) {
    Rack rack = new Rack(toHand());
    reservations.takeFrom(rack, forJob);
    return rack.items();
  }

  /**
   * Returns all that is on the rack, reserved or not: the office's lines, then offcuts made here.
   */
  public List<StockItem> toHand() {
    List<StockItem> items = new ArrayList<>(stated);
    for (Offcut offcut : made.values()) {
      items.add(
          new StockItem(
              offcut.material(), offcut.length(), 1, null, StickKind.OFFCUT, offcut.label()));
    }
    return items;
  }

  /** Returns the offcuts made here that are to hand and that the office does not list. */
  public List<Offcut> offcuts() {
    return List.copyOf(made.values());
  }

  /** Returns the sticks that a job has reserved and not yet loaded. */
  public List<PlannedSticks> reserved(String job) {
    return reservations.byJob().getOrDefault(job, List.of());
  }
}
