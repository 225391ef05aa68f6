package org.kerftally.daemon.trace;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.codec.FormatException;
import org.kerftally.daemon.cutlog.EventGenerator;
import org.kerftally.daemon.station.StationEffect;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.event.StationEvent;

final class TraceCodecTest {

  private static final int ROUNDS = 60;

  private final TraceCodec codec = new TraceCodec();

  private static List<Class<?>> kinds(Class<?> type) {
    if (type.isRecord()) {
      return List.of(type);
    }
    List<Class<?>> kinds = new ArrayList<>();
    for (Class<?> each : type.getPermittedSubclasses()) {
      kinds.addAll(kinds(each));
    }
    return kinds;
  }

  @Test
  void everyLineReadsBackAsItWas() throws FormatException {
    for (long seed = 0; seed < ROUNDS; seed++) {
      EventGenerator generator = new EventGenerator(seed);
      for (Class<?> kind : kinds(TraceLine.class)) {
        Object any = generator.any(kind);
        TraceLine line =
            any instanceof TraceLine.Header h
                ? new TraceLine.Header(
                    TraceLine.FORMAT,
                    h.kerftally(),
                    h.station(),
                    h.at(),
                    h.configuration(),
                    h.rules(),
                    h.state(),
                    h.senses())
                : (TraceLine) any;
        String text = codec.encode(line);
        assertThat(text).doesNotContain("\n");
        assertThat(codec.decode(text)).as("seed %d: %s", seed, text).isEqualTo(line);
      }
    }
  }

  @Test
  void everyKindOfInputEventAndEffectReadsBackAsItWas() throws FormatException {
    EventGenerator generator = new EventGenerator(7);
    TraceLine.Decided any = (TraceLine.Decided) generator.any(TraceLine.Decided.class);
    List<StationInput> inputs = new ArrayList<>();
    kinds(StationInput.class).forEach(k -> inputs.add((StationInput) generator.any(k)));
    kinds(LinkEvent.class)
        .forEach(k -> inputs.add(new StationInput.FromLink((LinkEvent) generator.any(k))));
    List<StationEvent> events = new ArrayList<>();
    kinds(StationEvent.class).forEach(k -> events.add((StationEvent) generator.any(k)));
    List<StationEffect> effects = new ArrayList<>();
    kinds(StationEffect.class).forEach(k -> effects.add((StationEffect) generator.any(k)));
    for (StationInput input : inputs) {
      TraceLine line = new TraceLine.Decided(any.at(), 1, 2, true, input, events, effects, null);
      assertThat(codec.decode(codec.encode(line))).isEqualTo(line);
    }
  }

  @Test
  void anotherFormatIsNamedBeforeAnythingElseOfIt() {
    assertThatThrownBy(() -> codec.decode("{\"header\":{\"format\":2,\"saws\":[]}}"))
        .isInstanceOf(FormatException.class)
        .hasMessageContaining("reads format 1, found 2");
    assertThatThrownBy(() -> codec.decode("{\"header\":7}"))
        .isInstanceOf(FormatException.class)
        .hasMessageContaining("format 1, found none");
  }

  @Test
  void anUnknownKindIsNamedWithItsPlace() {
    assertThatThrownBy(() -> codec.decode("{\"saw-sang\":{}}"))
        .isInstanceOf(FormatException.class)
        .hasMessageContaining("$.saw-sang");
    assertThatThrownBy(() -> codec.decode("{\"ended\":{},\"lost\":{}}"))
        .isInstanceOf(FormatException.class)
        .hasMessageContaining("expected one kind");
  }
}
