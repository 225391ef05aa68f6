package org.kerftally.daemon.cli.demo;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.length.Length;

final class TruthCheckTest {

  @TempDir Path folder;

  private CutLog log;

  @BeforeEach
  void open() {
    log = CutLog.open(folder.resolve("kerftally.db"), Clock.systemUTC());
  }

  @AfterEach
  void close() {
    log.close();
  }

  private void book(String station, long count, CutKind kind, long seq, String positionMm) {
    Length at =
        positionMm.isEmpty() ? null : Length.ofNm((long) (Double.parseDouble(positionMm) * 1e6));
    log.append(
        station,
        List.of(
            new CutBooked(
                "boot-1", count, kind, seq, null, null, 0, null, null, at, null, null, null)));
  }

  private TruthCheck.Verdict compare(String... truth) throws IOException {
    Path file = folder.resolve("truth.csv");
    Files.write(file, List.of(truth));
    return TruthCheck.compare(log, "saw1", file);
  }

  private static String cycle(long count, long seq, String positionMm) {
    return "boot-1," + count + "," + seq + "," + positionMm + ",2027-03-01T09:15:02.117Z";
  }

  @Test
  void aLogWithEveryCycleInItsPlaceAgrees() throws IOException {
    book("saw1", 1, CutKind.TRIM, 1, "10");
    book("saw1", 2, CutKind.PART, 2, "505.02");

    TruthCheck.Verdict verdict = compare(cycle(1, 1, "10.0"), cycle(2, 2, "505.02"));

    assertThat(verdict.differences()).isEmpty();
    assertThat(verdict.agrees()).isTrue();
    assertThat(verdict.cycles()).isEqualTo(2);
    assertThat(verdict.booked()).isEqualTo(2);
  }

  @Test
  void aCycleThatIsNotInTheLogIsNamed() throws IOException {
    book("saw1", 1, CutKind.PART, 1, "505");

    TruthCheck.Verdict verdict = compare(cycle(1, 1, "505"), cycle(2, 2, "413"));

    assertThat(verdict.agrees()).isFalse();
    assertThat(verdict.differences()).containsExactly("boot-1 #2 was cut and is not in the log");
  }

  @Test
  void aCutThatNeverHappenedIsNamed() throws IOException {
    book("saw1", 1, CutKind.PART, 1, "505");
    book("saw1", 2, CutKind.PART, 2, "505");

    assertThat(compare(cycle(1, 1, "505")).differences())
        .containsExactly("boot-1 #2 is in the log and was never cut");
  }

  @Test
  void aCutBookedForAnotherTargetIsNamed() throws IOException {
    book("saw1", 1, CutKind.PART, 7, "505");

    assertThat(compare(cycle(1, 6, "505")).differences())
        .singleElement()
        .asString()
        .contains("boot-1 #1", "for target 6", "for target 7");
  }

  @Test
  void aCutBookedElsewhereThanItWasMadeIsNamedFromTwoMicrometresOn() throws IOException {
    book("saw1", 1, CutKind.PART, 1, "505.002");
    book("saw1", 2, CutKind.PART, 2, "505.001");

    assertThat(compare(cycle(1, 1, "505"), cycle(2, 2, "505")).differences())
        .singleElement()
        .asString()
        .contains("boot-1 #1", "505 mm", "505.002 mm");
  }

  @Test
  void aPartWithoutAPositionIsNoAgreementButAnUnattributedCutIs() throws IOException {
    book("saw1", 1, CutKind.PART, 1, "");
    book("saw1", 2, CutKind.UNATTRIBUTED, 0, "");

    assertThat(compare(cycle(1, 1, "505"), cycle(2, 2, "505")).differences())
        .singleElement()
        .asString()
        .startsWith("boot-1 #1");
  }

  @Test
  void theCutsOfAnotherStationDoNotCount() throws IOException {
    book("saw2", 1, CutKind.PART, 1, "505");

    TruthCheck.Verdict verdict = compare(cycle(1, 1, "505"));

    assertThat(verdict.booked()).isZero();
    assertThat(verdict.differences()).hasSize(1);
  }

  @Test
  void withoutATruthEveryCutInTheLogIsTooMuch() throws IOException {
    book("saw1", 1, CutKind.PART, 1, "505");

    assertThat(TruthCheck.compare(log, "saw1", folder.resolve("nowhere.csv")).differences())
        .hasSize(1);
  }
}
