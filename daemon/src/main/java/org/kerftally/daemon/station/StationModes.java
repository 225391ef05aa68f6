package org.kerftally.daemon.station;

import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.event.StationMode;

/** Names a station's state in the words of ISA-TR88.00.02 (PackML). */
public final class StationModes {

  private StationModes() {}

  /** Returns the mode, from what is remembered and what is known for now. */
  public static StationMode of(StationState state, Senses senses) {
    if (!state.driven()) {
      return StationMode.STOPPED;
    }
    if (state.alarm() || !state.faults().isEmpty()) {
      return StationMode.ABORTED;
    }
    JobRun run = state.run();
    if (run == null && state.queue().isEmpty() && state.owed().isEmpty()) {
      return state.ended() == null ? StationMode.IDLE : StationMode.COMPLETE;
    }
    if (!state.linkUp()) {
      return StationMode.SUSPENDED;
    }
    if (!state.armed() || state.paused()) {
      return StationMode.HELD;
    }
    DeviceSnapshot snapshot = senses.snapshot();
    boolean withheld = snapshot == null || !snapshot.enabled() || !snapshot.remoteAllowed();
    boolean waits = run == null || run.replanWanted() || run.stick() == null || withheld;
    return waits ? StationMode.SUSPENDED : StationMode.EXECUTE;
  }
}
