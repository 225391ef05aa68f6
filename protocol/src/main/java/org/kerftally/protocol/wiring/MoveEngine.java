package org.kerftally.protocol.wiring;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;

/**
 * Walks one target at a time through a handshake, within its validity.
 *
 * <p>A target waits until the device is ready for it and is given to it then, or refused with the
 * reason when its time is up. Given but not answered in time, it is taken back and no answer is
 * told: to the station it is void. Whatever is left of it at the device counts as another target's.
 *
 * <p>Threading: none; belongs to one link's thread, for one connection.
 */
public final class MoveEngine {

  /** How long before its end a target that waits is refused, so that the reason arrives in time. */
  private static final long REFUSAL_NANOS = 200_000_000L;

  private final MoveConfig move;
  private final DevicePicture picture;
  private final Handshake handshake;
  private @Nullable Waiting waiting;
  private @Nullable Waiting given;

  private record Waiting(Target target, long untilNanos) {}

  /**
   * Is what the link has to do now.
   *
   * @param writes what to write, in this order
   * @param reply what to tell the station, {@code null} for nothing
   * @param starts whether the writes give the device a target: then none of them may go out once
   *     the target is void
   */
  public record Work(List<Write> writes, LinkEvent.@Nullable Replied reply, boolean starts) {

    /** Copies the list. */
    public Work {
      writes = List.copyOf(writes);
    }

    private static Work of(Step step) {
      return new Work(step.writes(), null, false);
    }

    /** Tells whether there is nothing to do. */
    public boolean isNothing() {
      return writes.isEmpty() && reply == null;
    }
  }

  /** Makes the engine of a new connection. */
  public MoveEngine(MoveConfig move, DevicePicture picture) {
    this.move = move;
    this.picture = picture;
    this.handshake = Handshake.of(move);
  }

  /** Returns how the device is told to move. */
  public MoveConfig move() {
    return move;
  }

  /** Begins: takes back what an earlier connection left standing. */
  public Work begin() {
    return Work.of(handshake.begin());
  }

  /**
   * Takes a target over.
   *
   * @param untilNanos when it is void, by the clock {@link #look} is given
   * @return {@code false} while another is under way: then nothing comes of it
   */
  public boolean offer(Target target, long untilNanos) {
    if (waiting != null || given != null) {
      return false;
    }
    waiting = new Waiting(target, untilNanos);
    return true;
  }

  /** Tells whether a target waits or is not answered yet. */
  public boolean isBusy() {
    return waiting != null || given != null;
  }

  /**
   * Looks at a reading and goes on.
   *
   * @param permitted whether the device shows every permit for a move, in the same reading: a
   *     target that had to wait must not be given to a saw that was started meanwhile
   * @throws SignalFault when a point of the handshake cannot be used
   */
  public Work look(MoveInputs in, boolean permitted, long nowNanos) throws SignalFault {
    Step step = handshake.look(in);
    List<Write> writes = new ArrayList<>(step.writes());
    Step.Verdict verdict = step.verdict();
    Waiting under = given;
    if (under != null && verdict != null) {
      given = null;
      Target target = under.target();
      if (verdict.accepted()) {
        picture.took(target.seq(), target.position());
      }
      return new Work(
          writes, new LinkEvent.Replied(target.seq(), verdict.accepted(), verdict.reason()), false);
    }
    if (under != null && nowNanos - under.untilNanos() >= 0) {
      given = null;
      writes.addAll(handshake.giveUp(in).writes());
    }
    Waiting next = waiting;
    if (next == null) {
      return new Work(writes, null, false);
    }
    Target target = next.target();
    boolean ready = writes.isEmpty() && handshake.isReady(in);
    if (ready && permitted && nowNanos - next.untilNanos() < 0) {
      waiting = null;
      given = next;
      writes.addAll(handshake.start(target.seq(), target.position(), in).writes());
      return new Work(writes, null, true);
    }
    if (!permitted || nowNanos - next.untilNanos() >= -REFUSAL_NANOS) {
      waiting = null;
      String reason = permitted ? handshake.whyNotReady(in) : "a permit was gone by then";
      return new Work(writes, new LinkEvent.Replied(target.seq(), false, reason), false);
    }
    return new Work(writes, null, false);
  }
}
