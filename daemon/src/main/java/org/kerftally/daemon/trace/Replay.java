package org.kerftally.daemon.trace;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.Iterator;
import java.util.List;
import java.util.Objects;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.station.Decision;
import org.kerftally.daemon.station.Now;
import org.kerftally.daemon.station.Senses;
import org.kerftally.daemon.station.StationCore;
import org.kerftally.daemon.station.StationRules;
import org.kerftally.daemon.station.StationState;

/**
 * Gives a recorded station's inputs to the core again, from the recorded state and at the recorded
 * times, and compares what it decides with what was decided then.
 *
 * <p>It goes on from its own decisions, not from the recorded ones, so a difference is found where
 * it begins. A text with a blanked secret agrees with any text around the mark.
 */
public final class Replay {

  /**
   * Holds how one decision came out.
   *
   * @param recorded as it was
   * @param replayed as it is now
   * @param agrees whether both brought about the same
   */
  public record Verdict(TraceLine.Decided recorded, TraceLine.Decided replayed, boolean agrees) {}

  private final TraceCodec codec = new TraceCodec();
  private final Function<StationRules, StationRules> rules;
  private @Nullable StationCore core;
  private StationState state = StationState.EMPTY;
  private Senses senses = Senses.NONE;

  /** Replays under the recorded rules. */
  public Replay() {
    this(recorded -> recorded);
  }

  /**
   * Replays under other rules.
   *
   * @param rules returns those to decide by, from the recorded ones
   */
  public Replay(Function<StationRules, StationRules> rules) {
    this.rules = rules;
  }

  /**
   * Takes the next line of a trace; the first one is its header.
   *
   * @return the verdict where the line is a decision, else {@code null}
   */
  public @Nullable Verdict take(TraceLine line) {
    if (line instanceof TraceLine.Header header) {
      core = new StationCore(rules.apply(header.rules()));
      state = header.state();
      senses = header.senses();
    } else if (line instanceof TraceLine.Resumed resumed) {
      state = resumed.state();
      senses = resumed.senses();
    } else if (line instanceof TraceLine.Decided recorded) {
      return decide(Objects.requireNonNull(core, "no header"), recorded);
    }
    return null;
  }

  private Verdict decide(StationCore station, TraceLine.Decided r) {
    TraceLine.Decided replayed;
    try {
      Decision decision = station.decide(state, senses, r.input(), new Now(r.at(), r.nanos()));
      replayed = outcome(r, decision.events(), decision.effects(), null);
      if (r.written()) {
        state = decision.state();
        senses = decision.senses();
      }
    } catch (RuntimeException e) {
      replayed = outcome(r, List.of(), List.of(), e.toString());
    }
    return new Verdict(r, replayed, agree(codec.tree(r), codec.tree(replayed)));
  }

  private static TraceLine.Decided outcome(
      TraceLine.Decided r,
      List<org.kerftally.shared.event.StationEvent> events,
      List<org.kerftally.daemon.station.StationEffect> effects,
      @Nullable String failure) {
    return new TraceLine.Decided(
        r.at(), r.nanos(), r.ticks(), r.written(), r.input(), events, effects, failure);
  }

  private static boolean agree(JsonNode recorded, JsonNode replayed) {
    if (recorded.isTextual() && replayed.isTextual()) {
      return agree(recorded.textValue(), replayed.textValue());
    }
    if (!recorded.isContainerNode() || recorded.size() != replayed.size()) {
      return recorded.equals(replayed);
    }
    if (recorded.isArray()) {
      for (int i = 0; i < recorded.size(); i++) {
        if (!agree(recorded.path(i), replayed.path(i))) {
          return false;
        }
      }
      return replayed.isArray();
    }
    for (Iterator<String> names = recorded.fieldNames(); names.hasNext(); ) {
      String name = names.next();
      if (!agree(recorded.path(name), replayed.path(name))) {
        return false;
      }
    }
    return replayed.isObject();
  }

  /** Tells whether a text is the recorded one, where a mark may stand for anything. */
  static boolean agree(String recorded, String replayed) {
    int mark = recorded.indexOf(Blanking.MARK);
    if (mark < 0) {
      return recorded.equals(replayed);
    }
    String[] parts = recorded.split(java.util.regex.Pattern.quote(Blanking.MARK), -1);
    String last = parts[parts.length - 1];
    if (!replayed.startsWith(parts[0])) {
      return false;
    }
    int at = parts[0].length();
    for (int i = 1; i < parts.length - 1; i++) {
      int found = replayed.indexOf(parts[i], at);
      if (found < 0) {
        return false;
      }
      at = found + parts[i].length();
    }
    return replayed.length() - last.length() >= at && replayed.endsWith(last);
  }
}
