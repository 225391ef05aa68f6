package org.kerftally.sim;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.length.Length;

/** Counts the presses on the machine's panel since power-up. The {@link Machine} owns it. */
final class Panel {
  private OperatorPanel state = OperatorPanel.UNTOUCHED;

  OperatorPanel state() {
    return state;
  }

  /** Returns how often a button was pressed since power-up. */
  long total(Button button) {
    return switch (button) {
      case STICK_LOADED -> state.stickLoaded();
      case REJECTED -> state.rejected();
      case DEFECT -> state.defects();
      case ACKNOWLEDGE -> state.acknowledged();
    };
  }

  /** Starts all totals at zero; the pause switch stays as it was turned. */
  void powerUp() {
    boolean paused = state.paused();
    state = OperatorPanel.UNTOUCHED;
    pause(paused);
  }

  void pause(boolean on) {
    state =
        new OperatorPanel(
            state.stickLoaded(),
            state.stickLength(),
            state.rejected(),
            state.defects(),
            state.defectAt(),
            state.acknowledged(),
            on);
  }

  void press(Button button, @Nullable Length value) {
    boolean loaded = button == Button.STICK_LOADED;
    boolean defect = button == Button.DEFECT;
    state =
        new OperatorPanel(
            state.stickLoaded() + (loaded ? 1 : 0),
            loaded ? value : state.stickLength(),
            state.rejected() + (button == Button.REJECTED ? 1 : 0),
            state.defects() + (defect ? 1 : 0),
            defect ? value : state.defectAt(),
            state.acknowledged() + (button == Button.ACKNOWLEDGE ? 1 : 0),
            state.paused());
  }
}
