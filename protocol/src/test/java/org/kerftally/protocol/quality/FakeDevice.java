package org.kerftally.protocol.quality;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

/** Says what a device would say, as the test sets it. */
final class FakeDevice {

  String boot = "b1";
  long cuts;
  @Nullable LastCut last;
  long active;
  Length position = Length.ZERO;
  boolean reached;
  boolean enabled = true;
  boolean paused;

  DeviceSnapshot now() {
    return new DeviceSnapshot(
        boot,
        cuts,
        last,
        active,
        position,
        reached,
        true,
        enabled,
        true,
        SawState.IDLE,
        0,
        "",
        new OperatorPanel(0, null, 0, 0, null, 0, paused));
  }

  /** Takes a leg and is on its way. */
  FakeDevice take(long number) {
    active = number;
    reached = false;
    return this;
  }

  /** Stands there and says so. */
  FakeDevice reach(Length there) {
    position = there;
    reached = true;
    return this;
  }
}
