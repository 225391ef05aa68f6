package org.kerftally.daemon.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;

final class OutlierTestTest {

  private static final Length MILLIMETRE = Length.ofMm(1);

  private static List<Integer> lines(List<MeasuredPiece> pieces) {
    return OutlierTest.find(pieces).stream().map(MeasuredPiece::line).toList();
  }

  @Test
  void aPieceMeasuredWrongIsFound() {
    List<MeasuredPiece> clean = Pieces.scattered(new SplittableRandom(1), 20, 0.05);

    assertThat(lines(Pieces.with(clean, 7, MILLIMETRE))).containsExactly(clean.get(7).line());
  }

  /** Each of the two makes the scatter so wide that the other looks usual. */
  @Test
  void twoBadPiecesDoNotHideEachOther() {
    List<MeasuredPiece> clean = Pieces.scattered(new SplittableRandom(2), 15, 0.05);
    List<MeasuredPiece> bad =
        Pieces.with(Pieces.with(clean, 4, MILLIMETRE), 9, Length.ofNm(1_050_000));

    assertThat(lines(bad)).containsExactly(clean.get(4).line(), clean.get(9).line());
  }

  @Test
  void cleanPiecesRarelyHaveOutliers() {
    SplittableRandom random = new SplittableRandom(3);
    int alarms = 0;
    for (int round = 0; round < 400; round++) {
      alarms += OutlierTest.find(Pieces.scattered(random, 25, 0.2)).isEmpty() ? 0 : 1;
    }
    // 5 % of 400 are 20, with a standard deviation of 4.4; the noise has short tails.
    assertThat(alarms).isBetween(1, 33);
  }

  /**
   * What the residual is measured by, the slow way: the line through all others, how far the piece
   * is off it, in units of what is to be expected there (Cook and Weisberg 1982, 2.2.2).
   */
  @Test
  void aStudentizedResidualIsTheDistanceFromTheLineOfAllOthers() throws IOException {
    List<MeasuredPiece> pieces = Pieces.norris();
    LineFit fit = LineFit.of(pieces);
    for (MeasuredPiece piece : pieces) {
      List<MeasuredPiece> others = new ArrayList<>(pieces);
      others.remove(piece);
      LineFit without = LineFit.of(others);
      double expected =
          without.scatter().residualSdMm()
              * Math.sqrt(1 + without.leverage(piece.target()).doubleValue());
      double distance = Math.abs(without.residualMm(piece)) / expected;

      assertThat(OutlierTest.studentized(fit, piece, BigDecimal.ZERO))
          .isCloseTo(distance, within(1e-9));
    }
  }

  @Test
  void aPieceOneStepOffAmongPiecesThatAgreeIsNoOutlier() {
    long[] pairs = new long[24];
    for (int i = 0; i < 12; i++) {
      pairs[2 * i] = (i + 1) * 100_000_000L;
      pairs[2 * i + 1] = pairs[2 * i] + 50_000;
    }
    pairs[13] += 50_000;
    assertThat(lines(Pieces.ofNm(pairs))).isEmpty();

    pairs[13] += 500_000;
    assertThat(lines(Pieces.ofNm(pairs))).containsExactly(8);
  }

  @Test
  void theOnlyPieceOfASecondLengthCannotBeAnOutlier() {
    List<MeasuredPiece> pieces =
        Pieces.ofNm(500, 500, 500, 501, 500, 502, 500, 501, 500, 500, 500, 502, 900, 2_000);

    assertThat(lines(pieces)).isEmpty();
  }

  @Test
  void fewPiecesAreNotTested() {
    List<MeasuredPiece> four = Pieces.ofNm(100, 100, 200, 200, 300, 900, 400, 400);

    assertThat(OutlierTest.canTest(four)).isFalse();
    assertThat(lines(four)).isEmpty();
  }
}
