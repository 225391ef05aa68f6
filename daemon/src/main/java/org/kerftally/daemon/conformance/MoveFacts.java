package org.kerftally.daemon.conformance;

import java.time.Duration;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.length.Length;

/**
 * Holds what was seen of one target, from its sending on. Every time is since then.
 *
 * @param seq its number
 * @param wanted the position it asked for
 * @param window how far from it the stop may stand
 * @param before the device as it was when it was sent
 * @param last the device as seen last
 * @param sent whether the link sent it
 * @param accepted the device's answer, {@code null} for none
 * @param reason the device's reason against it, or {@code null}
 * @param answerAfter when the answer came, or {@code null}
 * @param echoAfter when the device first showed the number, or {@code null}
 * @param startAfter when the stop first was somewhere else, or {@code null}
 * @param reachedAfter when the device first said in position, or {@code null}
 * @param earlyAt where the stop stood when the device said in position and it was not, or {@code
 *     null}
 * @param farthest the position farthest from where the stop was before
 * @param lost why the link was lost meanwhile, {@code null} when it was not
 */
public record MoveFacts(
    long seq,
    Length wanted,
    Length window,
    DeviceSnapshot before,
    DeviceSnapshot last,
    boolean sent,
    @Nullable Boolean accepted,
    @Nullable String reason,
    @Nullable Duration answerAfter,
    @Nullable Duration echoAfter,
    @Nullable Duration startAfter,
    @Nullable Duration reachedAfter,
    @Nullable Length earlyAt,
    Length farthest,
    @Nullable String lost) {

  /** Returns how far the stop stands from where it should. */
  public Length off() {
    return last.position().minus(wanted);
  }

  /** Returns how far the stop was told to go. */
  public Length step() {
    return wanted.minus(before.position());
  }

  /** Returns how far the stop has come. */
  public Length moved() {
    return last.position().minus(before.position());
  }

  /** Tells whether the stop stands within its window. */
  public boolean isWithin() {
    return !off().abs().isMoreThan(window);
  }

  /** Tells whether the stop was ever seen away from where it was. */
  public boolean everMoved() {
    return farthest.minus(before.position()).abs().isMoreThan(window);
  }

  /** Tells whether the device took the target, in its answer or by showing the number. */
  public boolean isTaken() {
    return Boolean.TRUE.equals(accepted) || echoAfter != null;
  }

  /** Tells whether everything came as it should. */
  public boolean isGood() {
    return Boolean.TRUE.equals(accepted)
        && last.activeSequence() == seq
        && last.targetReached()
        && isWithin()
        && earlyAt == null
        && lost == null;
  }

  /** Returns how many saw cycles the device counted meanwhile; the boot is the same. */
  public long cuts() {
    return last.boot().equals(before.boot()) ? last.cutCount() - before.cutCount() : 0;
  }
}
