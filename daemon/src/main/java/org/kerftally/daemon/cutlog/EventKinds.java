package org.kerftally.daemon.cutlog;

import static java.util.Map.entry;

import java.util.Map;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.ShopEvent;
import org.kerftally.shared.event.StationEvent;

/**
 * Names every kind of event as it is written in the log. A name stays as it is for as long as one
 * log that holds it may be read, whatever becomes of the class's own name.
 */
final class EventKinds {

  private static final Map<String, Class<? extends Event>> BY_NAME =
      Map.ofEntries(
          entry("job-taken", ShopEvent.JobTaken.class),
          entry("job-withdrawn", ShopEvent.JobWithdrawn.class),
          entry("stock-stated", ShopEvent.StockStated.class),
          entry("drive-begun", StationEvent.DriveBegun.class),
          entry("drive-ended", StationEvent.DriveEnded.class),
          entry("job-queued", StationEvent.JobQueued.class),
          entry("job-unqueued", StationEvent.JobUnqueued.class),
          entry("job-started", StationEvent.JobStarted.class),
          entry("replanned", StationEvent.Replanned.class),
          entry("replan-wanted", StationEvent.ReplanWanted.class),
          entry("job-ended", StationEvent.JobEnded.class),
          entry("job-reopened", StationEvent.JobReopened.class),
          entry("stick-loaded", StationEvent.StickLoaded.class),
          entry("stick-done", StationEvent.StickDone.class),
          entry("target-set", StationEvent.TargetSet.class),
          entry("move-set", StationEvent.MoveSet.class),
          entry("move-done", StationEvent.MoveDone.class),
          entry("target-accepted", StationEvent.TargetAccepted.class),
          entry("target-refused", StationEvent.TargetRefused.class),
          entry("target-voided", StationEvent.TargetVoided.class),
          entry("cut-booked", StationEvent.CutBooked.class),
          entry("piece-remained", StationEvent.PieceRemained.class),
          entry("piece-rejected", StationEvent.PieceRejected.class),
          entry("defect-found", StationEvent.DefectFound.class),
          entry("press-ignored", StationEvent.PressIgnored.class),
          entry("link-up", StationEvent.LinkUp.class),
          entry("link-down", StationEvent.LinkDown.class),
          entry("boot-seen", StationEvent.BootSeen.class),
          entry("fault-raised", StationEvent.FaultRaised.class),
          entry("fault-cleared", StationEvent.FaultCleared.class),
          entry("acknowledged", StationEvent.Acknowledged.class),
          entry("pause-switched", StationEvent.PauseSwitched.class));

  private static final Map<Class<? extends Event>, String> BY_TYPE =
      BY_NAME.entrySet().stream()
          .collect(Collectors.toUnmodifiableMap(Map.Entry::getValue, Map.Entry::getKey));

  private EventKinds() {}

  /** Returns all names with their types. */
  static Map<String, Class<? extends Event>> all() {
    return BY_NAME;
  }

  /** Returns the name of an event's kind, or null when it was given none. */
  static @Nullable String nameOf(Class<? extends Event> type) {
    return BY_TYPE.get(type);
  }
}
