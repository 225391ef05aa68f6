package org.kerftally.sim;

import java.time.Duration;
import java.util.Arrays;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Does one thing to the machine from outside: what a script, a test or a hand at the machine can
 * do.
 *
 * @param kind what is done
 * @param length the length it carries, {@code null} where the kind takes none
 * @param duration the time it carries, {@code null} where the kind takes none
 */
public record Action(Kind kind, @Nullable Length length, @Nullable Duration duration) {

  /** How long a power-cycle leaves the machine without power unless the action says so. */
  public static final Duration POWER_OFF = Duration.ofSeconds(5);

  /** Says what value an action carries. */
  public enum Value {
    /** None. */
    NONE,
    /** A length that must be there. */
    LENGTH,
    /** A length that may be there. */
    OPTIONAL_LENGTH,
    /** A time that may be there. */
    OPTIONAL_SECONDS
  }

  /** Names every action, with its word in a script. */
  public enum Kind {
    /** Press the emergency stop: it stays pressed until released. */
    ESTOP("estop", Value.NONE),
    /** Release the emergency stop. */
    ESTOP_RELEASE("estop-release", Value.NONE),
    /** Make the drive fail. */
    DRIVE_FAULT("drive-fault", Value.NONE),
    /** Make the drive lag too far behind. */
    FOLLOWING_ERROR("following-error", Value.NONE),
    /** Make the drive lose its reference. */
    HOMING_LOST("homing-lost", Value.NONE),
    /** Let the drive find its reference again, which takes its homing time. */
    REHOME("rehome", Value.NONE),
    /** Let the air pressure fall below its limit. */
    LOW_AIR("low-air", Value.NONE),
    /** Let the air pressure come back. */
    AIR_OK("air-ok", Value.NONE),
    /** Open the door to the blade. */
    DOOR_OPEN("door-open", Value.NONE),
    /** Close the door to the blade. */
    DOOR_CLOSED("door-closed", Value.NONE),
    /** Keep the guard from closing in the next cycle. */
    GUARD_STUCK("guard-stuck", Value.NONE),
    /** Clear a drive fault, a following error and a guard that did not close. */
    CLEAR("clear", Value.NONE),
    /** Take the power away and give it back, by default {@link #POWER_OFF} later. */
    POWER_CYCLE("power-cycle", Value.OPTIONAL_SECONDS),
    /** Make the next cycle a double one: two strokes, the saw never idle between them. */
    DOUBLE_STROKE("double-stroke", Value.NONE),
    /** Stroke now, whatever the target. A moving stop is halted by it and stays where it is. */
    STRAY_STROKE("stray-stroke", Value.NONE),
    /** Turn the pause switch on. */
    PAUSE("pause", Value.NONE),
    /** Turn the pause switch off. */
    RESUME("resume", Value.NONE),
    /** Press "stick loaded", with the measured length where one is given. */
    STICK_LOADED("stick-loaded", Value.OPTIONAL_LENGTH),
    /** Press "last piece rejected". */
    REJECT("reject", Value.NONE),
    /** Press "defect", with how much of the stick is sound from its leading end. */
    DEFECT("defect", Value.LENGTH),
    /** Make the next stick the operator loads measure shorter by this much. */
    SHORT_STICK("short-stick", Value.LENGTH),
    /** Press "acknowledge". */
    ACKNOWLEDGE("acknowledge", Value.NONE),
    /** Turn the remote-allowed switch off; a moving stop is halted by it. */
    REMOTE_OFF("remote-off", Value.NONE),
    /** Turn the remote-allowed switch on. */
    REMOTE_ON("remote-on", Value.NONE);

    private final String word;
    private final Value value;

    Kind(String word, Value value) {
      this.word = word;
      this.value = value;
    }

    /** Returns the word in a script. */
    public String word() {
      return word;
    }

    /** Returns what value the action carries. */
    public Value value() {
      return value;
    }

    /** Returns the kind for a word in a script, empty when there is none. */
    static Optional<Kind> ofWord(String word) {
      return Arrays.stream(values()).filter(kind -> kind.word.equals(word)).findFirst();
    }
  }

  /** Checks that the value is of the sort the kind takes. */
  public Action {
    boolean lengthFits =
        length == null
            ? kind.value() != Value.LENGTH
            : kind.value() == Value.LENGTH || kind.value() == Value.OPTIONAL_LENGTH;
    boolean durationFits = duration == null || kind.value() == Value.OPTIONAL_SECONDS;
    if (!lengthFits || !durationFits) {
      throw new IllegalArgumentException(
          kind.word() + " takes " + kind.value() + ", not " + length + ", " + duration);
    }
  }

  /** Returns an action that carries no value. */
  public static Action of(Kind kind) {
    return new Action(kind, null, null);
  }

  /** Returns an action that carries a length. */
  public static Action of(Kind kind, Length length) {
    return new Action(kind, length, null);
  }

  /** Returns an action that carries a time. */
  public static Action of(Kind kind, Duration duration) {
    return new Action(kind, null, duration);
  }
}
