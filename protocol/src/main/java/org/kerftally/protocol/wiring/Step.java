package org.kerftally.protocol.wiring;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Says what a handshake does next.
 *
 * @param writes what is to be written, in this order
 * @param verdict what the device answered, {@code null} while it has not
 */
public record Step(List<Write> writes, @Nullable Verdict verdict) {

  /** Nothing to do. */
  static final Step NONE = new Step(List.of(), null);

  /** Copies the list. */
  public Step {
    writes = List.copyOf(writes);
  }

  /**
   * Is a device's answer to a target.
   *
   * @param accepted whether it takes it
   * @param reason why not, {@code null} when it does
   */
  public record Verdict(boolean accepted, @Nullable String reason) {}

  static Step write(Write... writes) {
    return new Step(List.of(writes), null);
  }

  static Step accepted(Write... writes) {
    return new Step(List.of(writes), new Verdict(true, null));
  }

  static Step refused(String reason, Write... writes) {
    return new Step(List.of(writes), new Verdict(false, reason));
  }
}
