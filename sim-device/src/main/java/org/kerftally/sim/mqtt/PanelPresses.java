package org.kerftally.sim.mqtt;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.OperatorPanel;

/** Finds what was pressed between two snapshots and writes each as a message. */
final class PanelPresses {

  private PanelPresses() {}

  /**
   * Returns the messages for every total that changed. Several presses of one button between the
   * two make one message: it says the total.
   */
  static List<byte[]> between(DeviceSnapshot before, DeviceSnapshot now, Instant at) {
    String boot = now.boot();
    OperatorPanel was = boot.equals(before.boot()) ? before.panel() : OperatorPanel.UNTOUCHED;
    OperatorPanel is = now.panel();
    List<byte[]> presses = new ArrayList<>();
    if (was.stickLoaded() != is.stickLoaded()) {
      presses.add(
          DeviceJson.operator(boot, "stick-loaded", is.stickLoaded(), is.stickLength(), null, at));
    }
    if (was.rejected() != is.rejected()) {
      presses.add(DeviceJson.operator(boot, "rejected", is.rejected(), null, null, at));
    }
    if (was.defects() != is.defects()) {
      presses.add(DeviceJson.operator(boot, "defect", is.defects(), is.defectAt(), null, at));
    }
    if (was.acknowledged() != is.acknowledged()) {
      presses.add(DeviceJson.operator(boot, "acknowledge", is.acknowledged(), null, null, at));
    }
    if (was.paused() != is.paused()) {
      presses.add(DeviceJson.operator(boot, "pause", 0, null, is.paused(), at));
    }
    return presses;
  }
}
