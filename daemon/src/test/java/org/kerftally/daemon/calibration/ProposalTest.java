package org.kerftally.daemon.calibration;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Corrections;
import org.kerftally.shared.length.Length;

final class ProposalTest {

  private static final Length RESOLUTION = Calibration.TRUE.resolution();

  @Test
  void withoutACalibrationInForceTheLineItselfIsWritten() {
    LineFit fit = LineFit.of(Pieces.ofNm(500_000_000, 500_600_000, 1_000_000_000, 1_000_700_000));

    assertThat(Proposal.of(fit, Calibration.TRUE, Corrections.NONE).yaml(RESOLUTION))
        .isEqualTo("calibration: { offset: 0.5 mm, scale: 1.0002 }");
  }

  /** Worked out by hand: 0.5 + 1.0002 · (−2 + 1.001 p) = −1.5004 + 1.0012002 p. */
  @Test
  void theLineIsPutOnTopOfTheCalibrationInForce() {
    LineFit fit = LineFit.of(Pieces.ofNm(500_000_000, 500_600_000, 1_000_000_000, 1_000_700_000));
    Calibration present =
        new Calibration(Length.ofMm(-2), new BigDecimal("1.001"), Length.ofNm(10_000));

    assertThat(Proposal.of(fit, present, Corrections.NONE).yaml(present.resolution()))
        .isEqualTo("calibration: { offset: -1.5004 mm, scale: 1.0012002, resolution: 0.01 mm }");
  }

  /** The lengths that pieces turn out to have, by the new calibration and by the line. */
  @Test
  void theFiguresWrittenLoseNothingThatWasMeasured() {
    SplittableRandom random = new SplittableRandom(11);
    for (int round = 0; round < 300; round++) {
      Calibration present =
          new Calibration(
              Length.ofNm(random.nextLong(-5_000_000, 5_000_000)),
              BigDecimal.valueOf(990_000 + random.nextInt(20_000), 6),
              Length.ofNm(1));
      LineFit fit = LineFit.of(Pieces.scattered(random, 12, 0.1));
      Proposal proposal = Proposal.of(fit, present, Corrections.NONE);
      Calibration written = new Calibration(proposal.offset(), proposal.scale(), Length.ofNm(1));
      for (long mm = 0; mm <= 6_000; mm += 500) {
        Length position = Length.ofMm(mm);
        Length target = present.toLength(position);
        double expectedMm = fit.offsetMm() + fit.scale() * target.toReadingMm();
        double writtenMm = written.toLength(position).toReadingMm();
        assertThat(Math.abs(writtenMm - expectedMm)).isLessThan(20e-6);
      }
    }
  }

  @Test
  void columnsInTwoUnitsMakeFiguresThatTheConfigurationDoesNotTake() {
    LineFit inches = LineFit.of(Pieces.ofNm(25_400_000, 1_000_000, 50_800_000, 2_000_000));

    assertThat(Proposal.of(inches, Calibration.TRUE, Corrections.NONE).isFit()).isFalse();
  }
}
