package org.kerftally.shared.device;

import org.jspecify.annotations.Nullable;

/** Says what came in over a positioner link, whatever protocol carries it. */
public sealed interface LinkEvent {

  /**
   * Says that the link is live and the device was read whole. Sent after every connect and
   * reconnect, before any other event.
   */
  record Up(DeviceSnapshot snapshot) implements LinkEvent {}

  /** Says that the link is lost or was never there. Sent once until the next {@link Up}. */
  record Down(String reason) implements LinkEvent {}

  /** Says that some signal changed, with all signals as they are now. */
  record Snapshot(DeviceSnapshot snapshot) implements LinkEvent {}

  /** Says that the device counted a saw cycle. May come twice, late, or not at all. */
  record CutReported(LastCut cut) implements LinkEvent {}

  /** Says that the device accepted or refused a target. */
  record Replied(long seq, boolean accepted, @Nullable String reason) implements LinkEvent {}
}
