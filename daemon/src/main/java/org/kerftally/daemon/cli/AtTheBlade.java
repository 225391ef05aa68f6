package org.kerftally.daemon.cli;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.Signal;
import org.kerftally.protocol.probe.SignalReading;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthReader;
import org.kerftally.shared.length.LengthReading;
import org.kerftally.shared.length.LengthUnit;

/**
 * Puts the length at the blade beside a device's position: that is what the rule at the machine
 * shows. Nothing is put where the two are the same.
 */
final class AtTheBlade {

  private AtTheBlade() {}

  static List<SignalReading> beside(List<SignalReading> readings, Calibration calibration) {
    return readings.stream().map(reading -> beside(reading, calibration)).toList();
  }

  private static SignalReading beside(SignalReading reading, Calibration calibration) {
    boolean isPosition =
        reading.name().equals(Signal.POSITION_ACTUAL_VALUE.contractName())
            || reading.name().equals(Signal.LAST_CUT_POSITION.contractName());
    Length position = isPosition ? length(reading.understood()) : null;
    Length blade = position == null ? null : length(position, calibration);
    if (blade == null || blade.equals(position)) {
      return reading;
    }
    return new SignalReading(
        reading.name(),
        reading.place(),
        reading.value(),
        position + ", " + blade + " at the blade",
        reading.at(),
        reading.ofDevice(),
        reading.quality(),
        reading.changedAt(),
        reading.fault());
  }

  private static @Nullable Length length(@Nullable String understood) {
    return understood != null
            && LengthReader.read(understood, LengthUnit.MM, false)
                instanceof LengthReading.Read read
        ? read.length()
        : null;
  }

  /** A device may say any number; what is no length by the calibration has none. */
  private static @Nullable Length length(Length position, Calibration calibration) {
    try {
      return calibration.toLength(position);
    } catch (ArithmeticException e) {
      return null;
    }
  }
}
