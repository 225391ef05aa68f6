package org.kerftally.daemon.service;

import org.kerftally.daemon.cutlog.EventLog;
import org.kerftally.daemon.cutlog.MemoryLog;
import org.kerftally.daemon.station.StationCore;

/** Says how the service under simulation is built: as it is, or broken on purpose. */
interface ShiftDesign {

  /** The service as it is. */
  ShiftDesign SOUND = new ShiftDesign() {};

  /** Returns whether the log refuses a saw cycle that it holds. */
  default boolean booksEachCycleOnce() {
    return true;
  }

  /** Returns the log as the service sees it; called at every start. */
  default EventLog log(MemoryLog disk) {
    return disk;
  }

  /** Returns what decides for a station; called at every start. */
  default StationOwner.Decider decider(StationSetup setup) {
    return new StationCore(setup.rules())::decide;
  }
}
