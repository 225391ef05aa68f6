package org.kerftally.protocol.quality;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;

/**
 * Numbers the legs of a move for the device: 2·seq−1 for the first, 2·seq for the last.
 *
 * <p>The device takes only numbers above those it took before, so each leg needs its own. This rule
 * needs no memory: what a device reports after a restart of either side is read as it was meant,
 * and a number told apart from its neighbour says which leg the stop was on.
 */
final class DeviceNumbers {

  /** The highest number of a station whose legs fit the 32 bits that a device holds. */
  static final long MOST = (1L << 31) - 1;

  private DeviceNumbers() {}

  static long firstLeg(long seq) {
    return 2 * seq - 1;
  }

  static long lastLeg(long seq) {
    return 2 * seq;
  }

  static boolean isLastLeg(long number) {
    return number % 2 == 0;
  }

  /** Returns what a number means, for people. */
  static String words(long number) {
    return "target " + seq(number) + (isLastLeg(number) ? ", last move" : ", first of two moves");
  }

  /** Returns the station's number for a device's, 0 for 0. */
  static long seq(long number) {
    return number / 2 + number % 2;
  }

  static LastCut seen(LastCut cut) {
    return new LastCut(
        cut.boot(), cut.count(), seq(cut.seq()), cut.position(), cut.at(), !isLastLeg(cut.seq()));
  }

  /** Returns the snapshot in the station's numbers. */
  static DeviceSnapshot seen(DeviceSnapshot raw) {
    @Nullable LastCut cut = raw.lastCut();
    return new DeviceSnapshot(
        raw.boot(),
        raw.cutCount(),
        cut == null ? null : seen(cut),
        seq(raw.activeSequence()),
        raw.position(),
        raw.targetReached(),
        raw.homingAttained(),
        raw.enabled(),
        raw.remoteAllowed(),
        raw.sawState(),
        raw.faultCode(),
        raw.faultText(),
        raw.panel());
  }
}
