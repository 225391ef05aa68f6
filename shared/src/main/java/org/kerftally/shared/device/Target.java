package org.kerftally.shared.device;

import java.time.Duration;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Asks the device to reach one position.
 *
 * @param seq the sequence number: grows by at least one with every target of a station, at least 1
 * @param position the device position, calibrated and rounded to its resolution
 * @param part the name of the part to be cut there, or {@code null} for a squaring cut
 * @param job the id of the job, or the empty text for a move that belongs to none
 * @param validUntil when the target becomes void unless the device has answered
 * @param validity the same as a span, for protocols that count it themselves
 * @param boot the power-up it was decided upon, or {@code null} where none is named: a network can
 *     hold a target back for as long as a device takes to start anew, and a stop that was just
 *     powered up must not move by what was meant for it before
 * @param move what the move is for where nothing is to be cut, {@code null} for a cut
 */
public record Target(
    long seq,
    Length position,
    @Nullable String part,
    String job,
    Instant validUntil,
    Duration validity,
    @Nullable String boot,
    @Nullable StopMove move) {

  /** Asks for a place to cut at. */
  public Target(
      long seq,
      Length position,
      @Nullable String part,
      String job,
      Instant validUntil,
      Duration validity,
      @Nullable String boot) {
    this(seq, position, part, job, validUntil, validity, boot, null);
  }

  /** Asks whatever power-up it reaches. */
  public Target(
      long seq,
      Length position,
      @Nullable String part,
      String job,
      Instant validUntil,
      Duration validity) {
    this(seq, position, part, job, validUntil, validity, null);
  }
}
