package org.kerftally.sim;

import java.util.EnumSet;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceFault;

/**
 * Holds the faults that are present. The one reported is the first in the order of {@link
 * DeviceFault}, so an emergency stop hides every other. The {@link Machine} owns it.
 */
final class Faults {
  private static final Set<DeviceFault> DISABLING =
      EnumSet.of(DeviceFault.EMERGENCY_STOP, DeviceFault.FOLLOWING_ERROR, DeviceFault.DRIVE_FAULT);

  /** States of the world around the machine: they stop the saw and outlast a power-up. */
  private static final Set<DeviceFault> PHYSICAL =
      EnumSet.of(DeviceFault.EMERGENCY_STOP, DeviceFault.LOW_AIR, DeviceFault.BLADE_DOOR_OPEN);

  private static final Set<DeviceFault> CLEARABLE =
      EnumSet.of(
          DeviceFault.FOLLOWING_ERROR, DeviceFault.DRIVE_FAULT, DeviceFault.GUARD_NOT_CLOSED);

  private final EnumSet<DeviceFault> present = EnumSet.noneOf(DeviceFault.class);

  /** Tells whether a fault is a state of the world, there with or without power. */
  static boolean isPhysical(DeviceFault fault) {
    return PHYSICAL.contains(fault);
  }

  void add(DeviceFault fault) {
    present.add(fault);
  }

  void remove(DeviceFault fault) {
    present.remove(fault);
  }

  /** Removes what a reset at the machine removes. */
  void reset() {
    present.removeAll(CLEARABLE);
  }

  /** Removes what a power-up removes. */
  void powerUp() {
    present.retainAll(PHYSICAL);
  }

  boolean isEmpty() {
    return present.isEmpty();
  }

  @Nullable DeviceFault first() {
    return present.isEmpty() ? null : present.iterator().next();
  }

  boolean disableDrive() {
    return present.stream().anyMatch(DISABLING::contains);
  }

  boolean stopSaw() {
    return present.stream().anyMatch(PHYSICAL::contains);
  }
}
