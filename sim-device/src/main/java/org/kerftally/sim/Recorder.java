package org.kerftally.sim;

import org.kerftally.shared.device.LastCut;

/**
 * Takes what must be kept before the machine shows it. What throws here keeps the change from ever
 * being shown.
 */
interface Recorder {

  /** Records nothing. */
  Recorder NONE =
      new Recorder() {
        @Override
        public void powerUp(NonVolatile memory) {}

        @Override
        public void cut(LastCut cut) {}
      };

  /** Takes what the machine remembers, its new boot id included, at each power-up. */
  void powerUp(NonVolatile memory);

  /** Takes a cut at the moment it is made, before the count or the last cut shows it. */
  void cut(LastCut cut);
}
