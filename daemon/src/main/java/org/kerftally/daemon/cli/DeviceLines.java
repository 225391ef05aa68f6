package org.kerftally.daemon.cli;

import java.util.ArrayList;
import java.util.List;
import org.kerftally.config.StationConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.daemon.conformance.Figures;
import org.kerftally.daemon.conformance.Permits;
import org.kerftally.daemon.conformance.SignalKeys;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.length.Length;

/** Tells a person how a device stands. */
final class DeviceLines {

  private DeviceLines() {}

  /** Returns the device as it is, a line a signal. */
  static List<String> of(StationConfig station, DeviceSnapshot device) {
    WiringConfig wiring = station.link().wiring();
    Length length = station.calibration().toLength(device.position());
    String says = new SignalKeys(station).said(device.position());
    List<String> lines = new ArrayList<>();
    lines.add("  device says    " + says);
    lines.add("  position       " + Figures.mm(device.position()) + ", before calibration");
    lines.add(
        "  at the blade   "
            + Figures.mm(length)
            + (station.travel().reaches(length) ? "" : ": outside the travel!"));
    lines.add(
        "  target held    "
            + (device.activeSequence() == 0 ? "none" : "number " + device.activeSequence())
            + (device.targetReached() ? ", in position" : ", not in position"));
    lines.add("  homed          " + word(wiring, Signal.HOMING_ATTAINED, device.homingAttained()));
    lines.add("  enabled        " + word(wiring, Signal.ENABLED, device.enabled()));
    lines.add("  remote         " + word(wiring, Signal.REMOTE_ALLOWED, device.remoteAllowed()));
    lines.add(
        "  saw            "
            + Permits.saw(device.sawState())
            + (wiring.lacks(Signal.SAW_STATE) ? " (stands in, not said by the device)" : ""));
    lines.add(
        "  fault          "
            + (device.faultCode() == 0
                ? "none" + (wiring.lacks(Signal.FAULT_CODE) ? " (stands in)" : "")
                : device.faultCode() + " " + device.faultText()));
    lines.add(
        "  saw cycles     " + device.cutCount() + " counted, power-up \"" + device.boot() + "\"");
    wiring.notes().forEach(note -> lines.add("  Note: " + note));
    return lines;
  }

  private static String word(WiringConfig wiring, Signal signal, boolean on) {
    return (on ? "yes" : "no")
        + (wiring.lacks(signal) ? " (stands in, not said by the device)" : "");
  }
}
