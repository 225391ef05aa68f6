package org.kerftally.shared.device;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Holds every feedback signal of a positioner, read together at one moment.
 *
 * <p>Consistency: {@code cutCount} and {@code lastCut} belong together. An adapter that cannot read
 * them atomically reads again until they agree, and passes on a disagreement only after its bounded
 * tries are used up.
 *
 * @param boot the id of the present power-up, new at every power-up, not empty
 * @param cutCount saw cycles counted; never falls while the device is up
 * @param lastCut the last counted cycle, or {@code null} when the device remembers none
 * @param activeSequence the sequence number of the target the device holds, 0 for none
 * @param position position actual value
 * @param targetReached whether the stop stands within its window at the active target
 * @param homingAttained whether the drive knows its position
 * @param enabled whether the drive is enabled
 * @param remoteAllowed whether the machine lets a remote side command moves
 * @param sawState where the saw is in its cycle
 * @param faultCode 0 for none, see {@link DeviceFault}
 * @param faultText the device's own words, empty for none
 * @param panel what the operator pressed
 */
public record DeviceSnapshot(
    String boot,
    long cutCount,
    @Nullable LastCut lastCut,
    long activeSequence,
    Length position,
    boolean targetReached,
    boolean homingAttained,
    boolean enabled,
    boolean remoteAllowed,
    SawState sawState,
    int faultCode,
    String faultText,
    OperatorPanel panel) {

  /** Tells whether count and last cut belong together. */
  public boolean isConsistent() {
    LastCut last = lastCut;
    if (last == null) {
      return true;
    }
    return last.count() == cutCount || !last.boot().equals(boot);
  }

  /** Tells whether every permit for a move is present: homed, enabled, remote, idle, no fault. */
  public boolean permitsMove() {
    return homingAttained
        && enabled
        && remoteAllowed
        && sawState == SawState.IDLE
        && faultCode == 0;
  }

  /** Returns this with another word on whether the target is reached. */
  public DeviceSnapshot withTargetReached(boolean reached) {
    return new DeviceSnapshot(
        boot,
        cutCount,
        lastCut,
        activeSequence,
        position,
        reached,
        homingAttained,
        enabled,
        remoteAllowed,
        sawState,
        faultCode,
        faultText,
        panel);
  }

  /** Returns this with another last cut. */
  public DeviceSnapshot withLastCut(@Nullable LastCut cut) {
    return new DeviceSnapshot(
        boot,
        cutCount,
        cut,
        activeSequence,
        position,
        targetReached,
        homingAttained,
        enabled,
        remoteAllowed,
        sawState,
        faultCode,
        faultText,
        panel);
  }
}
