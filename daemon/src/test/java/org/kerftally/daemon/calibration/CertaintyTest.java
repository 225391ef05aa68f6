package org.kerftally.daemon.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;

final class CertaintyTest {

  private static Certainty certainty(List<MeasuredPiece> pieces) {
    LineFit fit = LineFit.of(pieces);
    return Certainty.of(fit, fit.scatter(), pieces);
  }

  /**
   * x = 0, 1, 2, 3 and y = 0, 1, 2, 4 mm: s² = 0.15, h(0) = h(3) = 1/4 + 2.25/5 = 0.7, t = 4.303.
   */
  @Test
  void theHalfWidthIsTheOneWorkedOutByHand() {
    long mm = 1_000_000;
    Certainty certainty = certainty(Pieces.ofNm(0, 0, mm, mm, 2 * mm, 2 * mm, 3 * mm, 4 * mm));

    assertThat(certainty.halfWidthMm())
        .isCloseTo(4.303 * Math.sqrt(0.15) * Math.sqrt(0.7), within(0.001));
  }

  /** With the certified figures of NIST's data set Norris: 1.0021 is 4.9 standard errors off 1. */
  @Test
  void aScaleOffOneAndAnOffsetWithinChanceAreToldApart() throws IOException {
    Certainty certainty = certainty(Pieces.norris());

    assertThat(certainty.scaleDiffersFromOne()).isTrue();
    assertThat(certainty.offsetDiffersFromZero()).isFalse();
    assertThat(certainty.worstTarget()).isEqualTo(Length.ofMm(999));
  }

  @Test
  void noMorePiecesAreNeededForWhatIsReachedAlready() throws IOException {
    Certainty certainty = certainty(Pieces.norris());

    assertThat(certainty.morePieces(Length.ofMm(1))).hasValue(0);
  }

  @Test
  void asManyMorePiecesAreAskedForAsAreNeededAndNoneBeyond() {
    SplittableRandom random = new SplittableRandom(5);
    for (int round = 0; round < 50; round++) {
      List<MeasuredPiece> pieces = Pieces.scattered(random, 5 + random.nextInt(20), 0.3);
      Certainty certainty = certainty(pieces);
      LineFit fit = LineFit.of(pieces);
      Length tolerance = Length.ofReadingMm(certainty.halfWidthMm() / 3);
      int enough = pieces.size() + certainty.morePieces(tolerance).orElseThrow();

      assertThat(expected(fit, certainty, enough)).isLessThanOrEqualTo(tolerance.toReadingMm());
      assertThat(expected(fit, certainty, enough - 1)).isGreaterThan(tolerance.toReadingMm());
    }
  }

  private static double expected(LineFit fit, Certainty certainty, int pieces) {
    double h = fit.leverage(certainty.worstTarget()).doubleValue();
    return StudentT.twoSided(0.05, pieces - 2)
        * certainty.scatter().residualSdMm()
        * Math.sqrt(h * fit.pieces() / pieces);
  }

  @Test
  void aToleranceBeyondAllMeasuringIsSaidToBe() throws IOException {
    assertThat(certainty(Pieces.norris()).morePieces(Length.ofNm(100))).isEmpty();
  }
}
