package org.kerftally.daemon.station;

import java.util.ArrayList;
import java.util.Locale;
import java.util.Set;
import org.kerftally.shared.device.DeviceFault;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;

/**
 * Books what the device reports as faulty, with its beginning and its end. A fault disarms the
 * station; its end does not arm it again.
 */
final class FaultWatch {

  static final String NOT_HOMED = "not-homed";

  /** Faults that Kerftally itself raises and that an acknowledge clears. */
  static final Set<String> OURS =
      Set.of(
          Targets.NO_ANSWER,
          Targets.REFUSED,
          Targets.OUT_OF_TRAVEL,
          Stall.NOT_REACHED,
          CutBooking.COUNT_JUMPED);

  private FaultWatch() {}

  static void settle(Turn turn, DeviceSnapshot snapshot) {
    String now = snapshot.faultCode() == 0 ? "" : codeOf(snapshot.faultCode());
    for (String standing : new ArrayList<>(turn.state().faults().keySet())) {
      boolean fromDevice = !OURS.contains(standing) && !standing.equals(CutBooking.COUNT_FELL);
      if (fromDevice && !standing.equals(NOT_HOMED) && !standing.equals(now)) {
        turn.say(new FaultCleared(standing));
      }
    }
    if (!now.isEmpty() && !turn.state().faults().containsKey(now)) {
      turn.say(new FaultRaised(now, textOf(snapshot)));
    }
    boolean homed = snapshot.homingAttained();
    boolean standing = turn.state().faults().containsKey(NOT_HOMED);
    if (!homed && !standing) {
      turn.say(
          new FaultRaised(NOT_HOMED, "The positioner has no reference. Home it at the machine."));
    } else if (homed && standing) {
      turn.say(new FaultCleared(NOT_HOMED));
    }
  }

  private static String codeOf(int code) {
    for (DeviceFault fault : DeviceFault.values()) {
      if (fault.code() == code) {
        return fault.name().toLowerCase(Locale.ROOT).replace('_', '-');
      }
    }
    return "device-" + code;
  }

  private static String textOf(DeviceSnapshot snapshot) {
    if (!snapshot.faultText().isBlank()) {
      return snapshot.faultText();
    }
    for (DeviceFault fault : DeviceFault.values()) {
      if (fault.code() == snapshot.faultCode()) {
        return fault.text();
      }
    }
    return "Fault " + snapshot.faultCode() + " of the device; see its manual";
  }
}
