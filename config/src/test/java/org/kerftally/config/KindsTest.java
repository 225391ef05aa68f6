package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.shared.length.Length;

class KindsTest {

  private static final List<Kind<?>> ALL =
      List.of(
          LengthKinds.KERF,
          LengthKinds.LEAD_TRIM,
          LengthKinds.TAIL,
          LengthKinds.MIN_OFFCUT,
          LengthKinds.TRAVEL_MIN,
          LengthKinds.TRAVEL_MAX,
          LengthKinds.WINDOW,
          LengthKinds.RESOLUTION,
          LengthKinds.OFFSET,
          LengthKinds.CORRECTED_AT,
          LengthKinds.CORRECTION,
          LengthKinds.STROKE,
          LengthKinds.TOP_SPEED,
          LengthKinds.ACCELERATION,
          AmountKinds.SETTLING,
          AmountKinds.OPEN_PARTS,
          AmountKinds.POLL,
          AmountKinds.MIN_AGE,
          AmountKinds.TIME_LIMIT,
          AmountKinds.TARGET_VALIDITY,
          AmountKinds.TIMEOUT,
          AmountKinds.PUBLISHING,
          AmountKinds.KEEP_ALIVE,
          AmountKinds.MAX_BYTES,
          AmountKinds.SCALE,
          WordKinds.STATION_NAME,
          WordKinds.ENVIRONMENT_NAME,
          WordKinds.LAYOUT,
          WordKinds.STICK_LOADED,
          WordKinds.ACKNOWLEDGE,
          WordKinds.YES_OR_NO,
          WordKinds.SECTION,
          WordKinds.MATERIAL_NAME,
          WordKinds.USER,
          WordKinds.NAMESPACE,
          WordKinds.path("/srv/kerftally", Path.of("/")),
          AddressKinds.BOARD,
          AddressKinds.ENDPOINT,
          AddressKinds.BROKER,
          AddressKinds.TOPIC,
          AddressKinds.PREFIX);

  @Test
  void everyExampleIsRight() {
    for (Kind<?> kind : ALL) {
      assertThat(kind.read(kind.example())).as(kind.example()).isInstanceOf(Reading.Of.class);
    }
    assertThat(AddressKinds.NODE.read(AddressKinds.NODE.example().replace("\"", "")))
        .isInstanceOf(Reading.Of.class);
  }

  @ParameterizedTest
  @ValueSource(strings = {"", " ", "\n", "\u0000", "\uD800", "e", "-", "--1", "NaN", "∞", "٣ mm"})
  void noKindThrowsForAnyText(String text) {
    for (Kind<?> kind : ALL) {
      assertThat(kind.read(text)).isNotNull();
      assertThat(kind.read(text.repeat(20_000))).isNotNull();
    }
  }

  @ParameterizedTest
  @CsvSource({
    "3.2 mm, 3200000",
    "0.32 cm, 3200000",
    "0.0032 m, 3200000",
    "1/8 in, 3175000",
    "'1/8\"', 3175000",
    "50 mm, 50000000",
    "0.000001 mm, 1"
  })
  void aKerfIsReadExactly(String text, long nm) {
    assertThat(LengthKinds.KERF.read(text)).isEqualTo(Reading.of(Length.ofNm(nm)));
  }

  @ParameterizedTest
  @CsvSource({
    "50 ms, 50",
    "500ms, 500",
    "1.5 s, 1500",
    "0.25 s, 250",
    "3 s, 3000",
    "2 min, 120000",
    "0.5 min, 30000",
    "10 min, 600000"
  })
  void aTimeIsReadExactly(String text, long millis) {
    assertThat(AmountKinds.POLL.read(text)).isEqualTo(Reading.of(Duration.ofMillis(millis)));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"3", "3 sec", "3 m", "3 S", "-3 s", "3,5 s", "1e3 ms", "٣ s", "s", "3 s s"})
  void whatIsNoTimeIsRefused(String text) {
    assertThat(AmountKinds.POLL.read(text)).isInstanceOf(Reading.Not.class);
  }

  @ParameterizedTest
  @CsvSource({
    "1024, 1024",
    "1 KiB, 1024",
    "1KiB, 1024",
    "16 MiB, 16777216",
    "1 GiB, 1073741824",
    "2048 B, 2048"
  })
  void aSizeIsReadExactly(String text, long bytes) {
    assertThat(AmountKinds.MAX_BYTES.read(text)).isEqualTo(Reading.of(bytes));
  }

  @ParameterizedTest
  @CsvSource({"0.5", "1", "1.000000000001", "2", "2.0"})
  void aScaleWithinReasonIsRead(String text) {
    assertThat(AmountKinds.SCALE.read(text)).isInstanceOf(Reading.Of.class);
  }

  @ParameterizedTest
  @CsvSource({
    "i=1",
    "ns=2;i=1001",
    "s=Positioner.CutCount",
    "nsu=urn:x:y;s=a b;c=d",
    "ns=65535;b=AQID",
    "ns=1;g=09087e75-8e5e-499b-954f-f2a9603db28a"
  })
  void aNodeIdIsReadInEveryForm(String text) {
    assertThat(AddressKinds.NODE.read(text)).isEqualTo(Reading.of(text));
  }

  @Test
  void aPathIsMadeWholeFromItsBase() {
    Kind<Path> kind = WordKinds.path("x", Path.of("/etc/kerftally"));

    assertThat(kind.read("../x")).isEqualTo(Reading.of(Path.of("/etc/x")));
    assertThat(kind.read("/x/./y")).isEqualTo(Reading.of(Path.of("/x/y")));
  }

  @ParameterizedTest
  @CsvSource({
    "1000 mm/s, 1000000000",
    "0.6 m/s, 600000000",
    "24 in/s, 609600000",
    "1 mm/s, 1000000",
    "100 m/s, 100000000000",
  })
  void speedsAreWaysInOneSecond(String text, long nm) {
    assertThat(LengthKinds.TOP_SPEED.read(text)).isEqualTo(Reading.of(Length.ofNm(nm)));
    for (String second : List.of("2", "^2", "²")) {
      assertThat(LengthKinds.ACCELERATION.read(text + second))
          .isEqualTo(Reading.of(Length.ofNm(nm)));
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"1000", "1000 mm", "1000/s", "-1 m/s", "0 mm/s", "101 m/s", "1 m/min"})
  void whatIsNoSpeedIsRefused(String text) {
    assertThat(LengthKinds.TOP_SPEED.read(text)).isInstanceOf(Reading.Not.class);
  }
}
