package org.kerftally.config.wiring;

import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * Says how a device's signals are wired to those of the device contract.
 *
 * @param signals where each mapped signal is; one that is not here is where the contract puts it
 * @param lacks what stands in for each signal the device does not have
 * @param move how the device is told to move
 */
public record WiringConfig(Map<Signal, PointConfig> signals, Set<StandIn> lacks, MoveConfig move) {

  /** A device that keeps the device contract. */
  public static final WiringConfig CONTRACT =
      new WiringConfig(Map.of(), Set.of(), MoveConfig.CONTRACT);

  /** Copies, keeping the order. */
  public WiringConfig {
    signals = Collections.unmodifiableMap(new LinkedHashMap<>(signals));
    lacks = Collections.unmodifiableSet(new LinkedHashSet<>(lacks));
  }

  /** Tells whether the device keeps the contract in every way. */
  public boolean isContract() {
    return equals(CONTRACT);
  }

  /** Tells whether something stands in for this signal. */
  public boolean lacks(Signal signal) {
    StandIn standIn = StandIn.of(signal);
    return standIn != null && lacks.contains(standIn);
  }

  /** Returns in plain words what stands in for what, and which guarantees are lost. */
  public List<String> notes() {
    List<String> notes = new ArrayList<>();
    lacks.forEach(standIn -> notes.add(standIn.note()));
    signals.forEach(
        (signal, point) -> {
          if (point.count() != null) {
            notes.add(
                signal.contractName()
                    + " is counted by Kerftally from a bit of the device. What is lost: "
                    + (signal == Signal.CUT_COUNT
                        ? "cuts made while the link was away, or quicker than the bit can be seen,"
                            + " are not booked at all; count those pieces by hand."
                        : "a press while the link is away is not seen; press again."));
          }
        });
    return List.copyOf(notes);
  }
}
