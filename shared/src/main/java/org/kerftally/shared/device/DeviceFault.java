package org.kerftally.shared.device;

/** Names the fault codes of the device contract. Other codes are passed on as the device says. */
public enum DeviceFault {
  /** Emergency stop pressed. */
  EMERGENCY_STOP(1, "Emergency stop"),
  /** The drive lags its commanded position by more than it may. */
  FOLLOWING_ERROR(2, "Following error"),
  /** The drive lost its reference. */
  HOMING_LOST(3, "Homing lost"),
  /** Compressed air is below its limit. */
  LOW_AIR(4, "Low air pressure"),
  /** The guard did not reach its closed position. */
  GUARD_NOT_CLOSED(5, "Guard not closed"),
  /** The door to the blade is open. */
  BLADE_DOOR_OPEN(6, "Blade door open"),
  /** Any other fault of the drive. */
  DRIVE_FAULT(7, "Drive fault");

  private final int code;
  private final String text;

  DeviceFault(int code, String text) {
    this.code = code;
    this.text = text;
  }

  /** Returns the number in the device contract. */
  public int code() {
    return code;
  }

  /** Returns the fault in plain words. */
  public String text() {
    return text;
  }
}
