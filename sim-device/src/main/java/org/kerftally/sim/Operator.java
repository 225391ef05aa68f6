package org.kerftally.sim;

import java.time.Duration;
import java.util.Objects;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.length.Length;

/**
 * Acts as the person at the machine does: reads the prompt, does one thing at a time, and takes
 * time for it.
 *
 * <p>A deed is decided when its reason appears and done when its time is up, and only if its reason
 * still holds then. A prompt is followed once; should it stay unchanged for the model's patience,
 * it is followed again, since the machine evidently still asks. A target is stroked once. A piece
 * from a "cut" prompt is judged once the saw is idle and before anything else is done, so that a
 * rejection always speaks of the last piece; squaring cuts are not judged. After a rejection the
 * operator looks at the panel for a while, since it may call for something else now.
 *
 * <p>Threading: none; the {@link Machine} owns it.
 */
final class Operator {

  /** Says what the operator does now. */
  enum Deed {
    LOAD,
    STROKE,
    REJECT,
    ACKNOWLEDGE
  }

  /** Says what the operator sees of the machine besides the prompt. */
  record View(boolean targetReached, long activeSequence, boolean sawIdle, boolean mayCut) {}

  private enum Intent {
    NONE,
    LOAD,
    STROKE,
    JUDGE,
    LOOK_UP,
    ACKNOWLEDGE
  }

  /** How far a deed's time may stray from the middle, as a part of it. */
  private static final double SPREAD = 0.3;

  private final OperatorModel model;
  private final SplittableRandom random;

  private Prompt prompt = Prompt.NONE;
  private Intent intent = Intent.NONE;
  private long dueNanos = Long.MAX_VALUE;
  private boolean followed;
  private boolean unjudged;
  private long cutSequence;

  Operator(OperatorModel model, SplittableRandom random) {
    this.model = model;
    this.random = random;
  }

  /** Forgets everything, as after a power-up: the panel is blank and nothing was cut since. */
  void startOver() {
    prompt = Prompt.NONE;
    drop();
    followed = false;
    unjudged = false;
    cutSequence = 0;
  }

  /** Reads a prompt. The same one again changes nothing. */
  void read(Prompt shown) {
    if (shown.equals(prompt)) {
      return;
    }
    prompt = shown;
    followed = false;
    if (intent != Intent.JUDGE && intent != Intent.LOOK_UP) {
      drop();
    }
  }

  /** Sees a cut being made. */
  void seeCut(long sequence) {
    cutSequence = sequence;
    unjudged = prompt.kind() == Prompt.Kind.CUT;
  }

  /** Returns the length the prompt asks for, {@code null} when it names none. */
  @Nullable Length askedLength() {
    return prompt.length();
  }

  long nextNanos() {
    return dueNanos;
  }

  /** Does what is due now, if its reason still holds; {@code null} for nothing. */
  @Nullable Deed act(long nowNanos, View view) {
    if (nowNanos < dueNanos) {
      return null;
    }
    Intent now = intent;
    drop();
    return switch (now) {
      case NONE, LOOK_UP -> null;
      case LOAD -> follow(Deed.LOAD);
      case ACKNOWLEDGE -> follow(Deed.ACKNOWLEDGE);
      case STROKE -> wantsStroke(view) ? Deed.STROKE : null;
      case JUDGE -> {
        unjudged = false;
        if (random.nextDouble() >= model.rejectRate()) {
          yield null;
        }
        intend(Intent.LOOK_UP, model.lookUp(), nowNanos);
        yield Deed.REJECT;
      }
    };
  }

  private Deed follow(Deed deed) {
    followed = true;
    return deed;
  }

  /** Decides on the next deed when none is under way. */
  void consider(long nowNanos, View view) {
    if (!model.present() || intent != Intent.NONE) {
      return;
    }
    if (unjudged && view.sawIdle()) {
      intend(Intent.JUDGE, model.inspection(), nowNanos);
      return;
    }
    switch (prompt.kind()) {
      case LOAD_STICK ->
          intend(Intent.LOAD, followed ? model.patience() : model.loading(), nowNanos);
      case ACKNOWLEDGE ->
          intend(Intent.ACKNOWLEDGE, followed ? model.patience() : model.reaction(), nowNanos);
      case SQUARE_END, CUT -> {
        if (wantsStroke(view)) {
          intend(Intent.STROKE, model.reaction(), nowNanos);
        }
      }
      case NONE, CLEAR_MACHINE -> {}
    }
  }

  private boolean wantsStroke(View view) {
    boolean asked = prompt.kind() == Prompt.Kind.CUT || prompt.kind() == Prompt.Kind.SQUARE_END;
    return asked
        && view.mayCut()
        && view.targetReached()
        && view.sawIdle()
        && view.activeSequence() != cutSequence;
  }

  private void intend(Intent next, Duration middle, long nowNanos) {
    double stretch = 1 - SPREAD + 2 * SPREAD * random.nextDouble();
    intent = next;
    dueNanos = nowNanos + Math.max(1, Math.round(middle.toNanos() * stretch));
  }

  private void drop() {
    intent = Intent.NONE;
    dueNanos = Long.MAX_VALUE;
  }

  /** Returns the material the prompt names, or {@code null}. */
  @Nullable String askedMaterial() {
    return Objects.equals(prompt.kind(), Prompt.Kind.LOAD_STICK) ? prompt.material() : null;
  }
}
