package org.kerftally.protocol.plc;

import java.util.HashMap;
import java.util.Map;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.Answer;
import org.kerftally.sim.SimDevice;

/**
 * Is the program of a controller that keeps one handshake: {@link #scan} reads the inputs, tells
 * the machine, and sets the outputs. Written from the words of the wiring guide, not from the code
 * it is held against.
 */
final class PlcProgram {

  private static final int REFUSED = 4;

  private final SimDevice device;
  private final MoveConfig.How how;
  private final boolean toggle;
  private boolean lastBit;
  private long lastNumber;
  private long moving;
  private final Map<String, Object> outputs = new HashMap<>();

  PlcProgram(SimDevice device, MoveConfig.How how, boolean toggle) {
    this.device = device;
    this.how = how;
    this.toggle = toggle;
  }

  /** What a client has written; the bits and numbers are read before the position is. */
  interface Inputs {
    boolean bit(String name);

    long number(String name);

    double millimetres(String name);
  }

  /** Goes through the program once; returns what the outputs are now. */
  Map<String, Object> scan(Inputs in) {
    switch (how) {
      case STROBE -> strobe(in);
      case SEQUENCE -> sequence(in);
      case PLCOPEN -> functionBlock(in);
      default -> throw new IllegalArgumentException("no program for " + how);
    }
    return outputs;
  }

  private void strobe(Inputs in) {
    boolean bit = in.bit("strobe");
    if (bit != lastBit && (bit || toggle)) {
      outputs.put("error", move(in) ? 0 : REFUSED);
    }
    lastBit = bit;
    outputs.put("echo", bit);
  }

  private void sequence(Inputs in) {
    long number = in.number("sequence");
    if (number == lastNumber) {
      return;
    }
    lastNumber = number;
    boolean taken = device.moveAbsolute(position(in), number) instanceof Answer.Accepted;
    outputs.put("error", taken ? 0 : REFUSED);
  }

  private void functionBlock(Inputs in) {
    boolean execute = in.bit("execute");
    if (execute && !lastBit) {
      boolean taken = move(in);
      moving = taken ? device.snapshot().activeSequence() : 0;
      outputs.put("busy", taken);
      outputs.put("done", false);
      outputs.put("command-aborted", false);
      outputs.put("error", !taken);
      outputs.put("error-id", taken ? 0 : REFUSED);
    }
    lastBit = execute;
    DeviceSnapshot now = device.snapshot();
    if (moving != 0 && (now.faultCode() != 0 || now.activeSequence() != moving)) {
      end("command-aborted");
    } else if (moving != 0 && now.targetReached()) {
      end("done");
    }
    if (!execute && moving == 0) {
      for (String name : new String[] {"done", "command-aborted", "error"}) {
        outputs.put(name, false);
      }
    }
  }

  private void end(String output) {
    moving = 0;
    outputs.put("busy", false);
    outputs.put(output, true);
  }

  private boolean move(Inputs in) {
    long number = device.snapshot().activeSequence() + 1;
    return device.moveAbsolute(position(in), number) instanceof Answer.Accepted;
  }

  private static Length position(Inputs in) {
    return Length.ofReadingMm(in.millimetres("position"));
  }
}
