package org.kerftally.daemon.station;

import org.kerftally.shared.device.OperatorPanel;

/** Moves one total of a panel forward: the presses taken so far. */
final class Presses {

  static final String STICK_LOADED = "stick-loaded";
  static final String REJECTED = "rejected";
  static final String DEFECT = "defect";
  static final String ACKNOWLEDGED = "acknowledged";

  private Presses() {}

  static OperatorPanel stickLoaded(OperatorPanel p, long total) {
    return new OperatorPanel(
        total, null, p.rejected(), p.defects(), null, p.acknowledged(), p.paused());
  }

  static OperatorPanel rejected(OperatorPanel p, long total) {
    return new OperatorPanel(
        p.stickLoaded(), null, total, p.defects(), null, p.acknowledged(), p.paused());
  }

  static OperatorPanel defects(OperatorPanel p, long total) {
    return new OperatorPanel(
        p.stickLoaded(), null, p.rejected(), total, null, p.acknowledged(), p.paused());
  }

  static OperatorPanel acknowledged(OperatorPanel p, long total) {
    return new OperatorPanel(
        p.stickLoaded(), null, p.rejected(), p.defects(), null, total, p.paused());
  }

  /** Moves the named total. */
  static OperatorPanel taken(OperatorPanel p, String button, long total) {
    return switch (button) {
      case STICK_LOADED -> stickLoaded(p, total);
      case REJECTED -> rejected(p, total);
      case DEFECT -> defects(p, total);
      case ACKNOWLEDGED -> acknowledged(p, total);
      default -> throw new IllegalStateException("no such button: " + button);
    };
  }
}
