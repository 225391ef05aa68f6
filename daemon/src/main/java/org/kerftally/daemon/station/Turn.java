package org.kerftally.daemon.station;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.event.StationEvent;

/**
 * Collects what one decision brings about. Every event is folded in as soon as it is said, so that
 * each later step of the same decision sees the state it left behind.
 */
final class Turn {

  /** More events than any one input can bring about: a guard against a loop in the logic. */
  private static final int MAX_EVENTS = 100_000;

  final StationRules rules;
  final Now now;
  private StationState state;
  private Senses senses;
  private final List<StationEvent> events = new ArrayList<>();
  private final List<StationEffect> effects = new ArrayList<>();

  Turn(StationRules rules, Now now, StationState state, Senses senses) {
    this.rules = rules;
    this.now = now;
    this.state = state;
    this.senses = senses;
  }

  StationState state() {
    return state;
  }

  Senses senses() {
    return senses;
  }

  void sense(Senses next) {
    senses = next;
  }

  @Nullable DeviceSnapshot snapshot() {
    return senses.snapshot();
  }

  void say(StationEvent event) {
    if (events.size() >= MAX_EVENTS) {
      throw new IllegalStateException("a decision without end, last event: " + event);
    }
    state = StationFold.apply(state, event);
    events.add(event);
  }

  void effect(StationEffect effect) {
    effects.add(effect);
  }

  JobRun run() {
    return Objects.requireNonNull(state.run(), "no job is being cut");
  }

  /**
   * Returns what was decided. The panel is told before a target goes out: the stop must not set off
   * while it still asks for a cut at the place the stop leaves. What asks for a cut never goes out
   * with a target, but once that is answered.
   */
  Decision decision() {
    List<StationEffect> ordered = new ArrayList<>();
    effects.stream().filter(e -> e instanceof StationEffect.Show).forEach(ordered::add);
    effects.stream().filter(e -> !(e instanceof StationEffect.Show)).forEach(ordered::add);
    return new Decision(state, senses, events, ordered);
  }
}
