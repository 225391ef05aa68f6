package org.kerftally.daemon.conformance;

import java.util.ArrayList;
import java.util.List;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.SawState;

/** Says which permits for a move are missing, and what to do at the machine. */
public final class Permits {

  private Permits() {}

  /** Returns a line for each missing permit; empty when the stop may be moved. */
  public static List<String> missing(DeviceSnapshot device) {
    List<String> missing = new ArrayList<>();
    if (device.faultCode() != 0) {
      missing.add(
          "the device reports fault "
              + device.faultCode()
              + (device.faultText().isEmpty() ? "" : ", " + device.faultText())
              + ": see to its cause and clear it at the machine.");
    }
    if (!device.homingAttained()) {
      missing.add("the drive is not homed (HomingAttained is off): home it at the machine.");
    }
    if (!device.enabled()) {
      missing.add("the drive is not enabled (Enabled is off): enable it at the machine.");
    }
    if (!device.remoteAllowed()) {
      missing.add("remote is not allowed (RemoteAllowed is off): switch the machine to remote.");
    }
    if (device.sawState() != SawState.IDLE) {
      missing.add(
          "the saw is not idle (SawState is "
              + saw(device.sawState())
              + "): guard up and blade in, by the machine's own controls.");
    }
    if (device.panel().paused()) {
      missing.add("the station is paused (Paused is on): switch pause off at the machine.");
    }
    return List.copyOf(missing);
  }

  /** Returns a state of the saw in plain words. */
  public static String saw(SawState state) {
    return switch (state) {
      case UNKNOWN -> "unknown";
      case IDLE -> "idle";
      case GUARD_DOWN -> "guard down";
      case BLADE_OUT -> "blade out";
    };
  }
}
