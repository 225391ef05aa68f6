package org.kerftally.daemon.trace;

import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.station.Senses;
import org.kerftally.daemon.station.StationEffect;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.daemon.station.StationRules;
import org.kerftally.daemon.station.StationState;
import org.kerftally.protocol.LinkTap;
import org.kerftally.shared.event.StationEvent;

/**
 * Is one line of a trace.
 *
 * <p>A trace is text, one JSON object a line, under the name of its kind:
 *
 * <pre>
 * {"header":{"format":1,"station":"saw1",…,"rules":{…},"state":{…},"senses":{…}}}
 * {"wire":{"at":"…","way":"from-device","what":"report","place":"SawState ns=2;s=…","value":"2"}}
 * {"decided":{"at":"…","nanos":…,"ticks":0,"written":true,"input":{"from-link":{…}},"events":[…],…}}
 * </pre>
 *
 * <p>What the core decides depends on its rules, its state, its senses, the input and the time, and
 * on nothing else. The header holds the first three and each {@code decided} the last two, so a
 * file can be run again from its first line without anything beside it. The state is the fold of
 * the events and the senses come out of each decision, so neither is written again; only after
 * lines were lost a {@code resumed} holds both.
 *
 * <p>A tick that brought about nothing is counted in the next decision and not written: it changed
 * nothing that a later decision could see.
 */
public sealed interface TraceLine {

  /** The format of traces that this version writes and reads. */
  int FORMAT = 1;

  /**
   * Begins a file.
   *
   * @param format which format the file has
   * @param kerftally the version that wrote it
   * @param station the station's name
   * @param at when the file was begun
   * @param configuration all that the configuration says of the station, as YAML
   * @param rules the core's rules
   * @param state the state before the first decision in the file
   * @param senses the senses before it
   */
  record Header(
      int format,
      String kerftally,
      String station,
      Instant at,
      String configuration,
      StationRules rules,
      StationState state,
      Senses senses)
      implements TraceLine {}

  /**
   * Holds a decision.
   *
   * @param at the time of day the core was told
   * @param nanos the monotonic time the core was told
   * @param ticks how many ticks passed before it without bringing about anything
   * @param written whether the log took the events; if not, the decision changed nothing
   * @param input what happened
   * @param events what the core said
   * @param effects what it wanted done
   * @param failure the fault of the core's own in which the decision ended, or {@code null}
   */
  record Decided(
      Instant at,
      long nanos,
      int ticks,
      boolean written,
      StationInput input,
      List<StationEvent> events,
      List<StationEffect> effects,
      @Nullable String failure)
      implements TraceLine {

    /** Copies the lists. */
    public Decided {
      events = List.copyOf(events);
      effects = List.copyOf(effects);
    }
  }

  /**
   * Holds what passed over the wire.
   *
   * @param at when
   * @param way which way
   * @param what what was done
   * @param place at which address, topic or node
   * @param value the value; in hexadecimal where it is no text
   * @param binary whether it is no text
   * @param leftOut how many characters of it are not written
   */
  record Wire(
      Instant at,
      LinkTap.Way way,
      String what,
      String place,
      String value,
      boolean binary,
      int leftOut)
      implements TraceLine {}

  /**
   * Says that lines are missing here.
   *
   * @param at until when
   * @param lines how many
   * @param why why
   */
  record Lost(Instant at, long lines, String why) implements TraceLine {}

  /** Holds state and senses before the next decision, where decisions before it are missing. */
  record Resumed(StationState state, Senses senses) implements TraceLine {}

  /** Says that the service ended in good order. */
  record Ended(Instant at) implements TraceLine {}
}
