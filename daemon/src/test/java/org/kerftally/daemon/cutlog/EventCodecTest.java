package org.kerftally.daemon.cutlog;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.InputStream;
import java.time.Instant;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.StationEvent;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.length.Length;

final class EventCodecTest {

  private static final int ROUNDS = 60;

  @Test
  void everyTypeOfEventHasAKindOfItsOwn() {
    assertThat(EventKinds.all().values())
        .containsExactlyInAnyOrderElementsOf(EventGenerator.types());
  }

  @Test
  void everyEventReadsBackAsItWas() {
    for (long seed = 0; seed < ROUNDS; seed++) {
      EventGenerator generator = new EventGenerator(seed);
      for (Class<? extends Event> type : EventGenerator.types()) {
        Event event = generator.next(type);
        EventCodec.Coded coded = EventCodec.encode(event);
        assertThat(EventCodec.decode(1, coded.kind(), coded.body()))
            .as("seed %d: %s", seed, coded)
            .isEqualTo(event);
      }
    }
  }

  /** A stored log outlives the code, so the samples of its form may be added to, never changed. */
  @Test
  void theStoredFormIsAsItEverWas() throws IOException {
    Set<String> kinds = new HashSet<>();
    for (String line : samples()) {
      String kind = line.substring(0, line.indexOf(' '));
      String body = line.substring(line.indexOf(' ') + 1);
      kinds.add(kind);
      Event event = EventCodec.decode(1, kind, body);
      assertThat(EventCodec.encode(event)).isEqualTo(new EventCodec.Coded(kind, body));
    }
    assertThat(kinds).as("kinds with a sample").isEqualTo(EventKinds.all().keySet());
  }

  private static List<String> samples() throws IOException {
    try (InputStream in = EventCodecTest.class.getResourceAsStream("events-1.txt")) {
      return new String(in.readAllBytes(), UTF_8).lines().filter(l -> !l.startsWith("#")).toList();
    }
  }

  @Test
  void aBookedCutIsStoredFieldByField() {
    CutBooked cut =
        new CutBooked(
            "b7",
            1234,
            CutKind.PART,
            17,
            "comb-honey-supers",
            "super side",
            2,
            Length.ofMm(505),
            Length.ofNm(505_020_000),
            Length.ofNm(505_020_001),
            Instant.parse("2027-03-01T09:15:02.117Z"),
            null,
            Length.ofMm(1500));
    assertThat(EventCodec.encode(cut))
        .isEqualTo(
            new EventCodec.Coded(
                "cut-booked",
                "{\"boot\":\"b7\",\"count\":1234,\"kind\":\"part\",\"seq\":17,"
                    + "\"job\":\"comb-honey-supers\",\"part\":\"super side\",\"stick\":2,"
                    + "\"wanted_nm\":505000000,\"actual_nm\":505020000,\"position_nm\":505020001,"
                    + "\"cut_at\":\"2027-03-01T09:15:02.117Z\",\"left_nm\":1500000000}"));
  }

  @Test
  void anUnknownKindIsNamedWithItsRow() {
    assertThatThrownBy(() -> EventCodec.decode(17, "saw-sang", "{}"))
        .isInstanceOf(CutLogException.class)
        .hasMessageContaining("event 17")
        .hasMessageContaining("saw-sang");
  }

  @Test
  void aNumberThatNoDecimalCanBeIsNamedWithItsRow() {
    for (String number : new String[] {"0e05000451200045", "1e99999999999", "-1E-2147483649"}) {
      assertThatThrownBy(() -> EventCodec.decode(17, "target-accepted", "{\"seq\":" + number + "}"))
          .as(number)
          .isInstanceOf(CutLogException.class)
          .hasMessageContaining("event 17");
    }
  }

  @Test
  void whatADamagedRowHoldsIsToldInOneShortLine() {
    String[][] damaged = {
      {"saw\u001b[2J" + "x".repeat(5_000), "{}"},
      {"link-up", "{\"\u0085\u009b2J" + "x".repeat(5_000) + "\":1}"},
      {"link-up", "\u0007"},
      {"link-down", "{\"reason\":[\"\u009b2J\"]}"},
    };
    for (String[] each : damaged) {
      assertThatThrownBy(() -> EventCodec.decode(17, each[0], each[1]))
          .isInstanceOf(CutLogException.class)
          .hasMessageContaining("event 17")
          .satisfies(e -> assertThat(e.getMessage()).hasSizeLessThan(700))
          .satisfies(e -> assertThat(e.getMessage().chars()).noneMatch(Character::isISOControl));
    }
  }

  @Test
  void anUnknownFieldIsNamedWithItsRowAndPlace() {
    assertThatThrownBy(() -> EventCodec.decode(17, "target-accepted", "{\"seq\":1,\"mood\":2}"))
        .isInstanceOf(CutLogException.class)
        .hasMessageContaining("event 17")
        .hasMessageContaining("$.mood");
  }

  @Test
  void aMissingFieldIsNamedUnlessItMayBeNull() {
    assertThatThrownBy(() -> EventCodec.decode(17, "target-refused", "{\"seq\":1}"))
        .isInstanceOf(CutLogException.class)
        .hasMessageContaining("$.reason: missing");
    assertThatThrownBy(() -> EventCodec.decode(17, "link-down", "{\"reason\":null}"))
        .isInstanceOf(CutLogException.class)
        .hasMessageContaining("$.reason: missing");
  }

  @Test
  void aValueOfTheWrongTypeIsNamedWithWhatWasExpected() {
    String[][] wrong = {
      {"target-accepted", "{\"seq\":\"1\"}", "$.seq: expected a whole number"},
      {"target-accepted", "{\"seq\":1.5}", "$.seq: expected a whole number"},
      {"target-accepted", "{\"seq\":99999999999999999999}", "$.seq: expected a whole number"},
      {"pause-switched", "{\"on\":1}", "$.on: expected true or false"},
      {"link-down", "{\"reason\":7}", "$.reason: expected a text"},
      {"defect-found", "{\"presses\":1,\"stick\":1,\"sound_nm\":0.5}", "whole number of nano"},
      {"job-ended", "{\"job\":\"j\",\"shortages\":{}}", "$.shortages: expected a list"},
      {"job-ended", "{\"job\":\"j\",\"shortages\":[null]}", "$.shortages[0]: expected an object"},
      {"link-up", "{} {}", "cannot be read"},
      {"link-up", "{", "cannot be read"},
      {"link-up", "[]", "$: expected an object"},
      {"target-accepted", "{\"seq\":1,\"seq\":2}", "Duplicate"},
    };
    for (String[] each : wrong) {
      assertThatThrownBy(() -> EventCodec.decode(17, each[0], each[1]))
          .as(each[1])
          .isInstanceOf(CutLogException.class)
          .hasMessageContaining("event 17")
          .hasMessageContaining(each[2]);
    }
  }

  @Test
  void aNullWhereNoneMayBeIsAMistakeOfTheCaller() {
    assertThatThrownBy(() -> EventCodec.encode(new StationEvent.LinkDown(null)))
        .isInstanceOf(IllegalStateException.class)
        .hasMessageContaining("reason");
  }

  /** A device may send half a surrogate pair as a JSON escape; UTF-8 has no form for it. */
  @Test
  void halfASurrogatePairIsReplacedNotStored() {
    EventCodec.Coded coded = EventCodec.encode(new StationEvent.LinkDown("a\ud83db\udc1d"));
    assertThat(EventCodec.decode(1, coded.kind(), coded.body()))
        .isEqualTo(new StationEvent.LinkDown("a\ufffdb\ufffd"));
  }
}
