package org.kerftally.shared.device;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Tells the operator what the station waits for. Shown on the board and, where the device has a
 * panel, at the machine. It commands nothing.
 *
 * @param kind what is waited for
 * @param text the same in plain words
 * @param material the stick's material when a stick is asked for, else {@code null}
 * @param length the stick's length when a stick is asked for, else {@code null}
 * @param label the stick's label, or {@code null}
 */
public record Prompt(
    Kind kind,
    String text,
    @Nullable String material,
    @Nullable Length length,
    @Nullable String label) {

  /** Nothing is waited for. */
  public static final Prompt NONE = new Prompt(Kind.NONE, "", null, null, null);

  /** Names what is waited for. */
  public enum Kind {
    /** Nothing from the operator. */
    NONE,
    /** The operator loads the named stick and presses "stick loaded". */
    LOAD_STICK,
    /** The operator squares the leading end. */
    SQUARE_END,
    /** The operator feeds against the stop and cuts. */
    CUT,
    /** The operator looks that the machine is clear and presses "acknowledge". */
    ACKNOWLEDGE,
    /** The machine withholds a permit or reports a fault. */
    CLEAR_MACHINE
  }
}
