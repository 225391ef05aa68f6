package org.kerftally.daemon.conformance;

import java.time.Duration;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;

/** Is a device on the bench: what it says, what it is sent, and the time. One thread has it. */
public interface Bench {

  /** Returns the time on a clock that never jumps. */
  long nanos();

  /** Returns the time that targets are valid by. */
  Instant wall();

  /**
   * Returns the next thing the link says, {@code null} when it says nothing for that long.
   *
   * @throws InterruptedException when the trial is to end
   */
  @Nullable LinkEvent next(Duration most) throws InterruptedException;

  /** Hands a target to the link; {@code false} when nothing is sent. */
  boolean send(Target target);

  /** Tells the person something at once. */
  void say(String line);
}
