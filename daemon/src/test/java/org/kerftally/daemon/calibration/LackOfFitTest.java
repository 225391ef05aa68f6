package org.kerftally.daemon.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Corrections;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;

final class LackOfFitTest {

  /**
   * NIST StRD, data set Pontius (public domain; as in the tests of several public libraries): the
   * deflection of a load cell, each load twice. Here 150 000 lb are a metre and 0.00001 in a
   * micrometre.
   */
  private static final int[][] LOAD_CELL = {
    {
      11019, 21956, 32949, 43899, 54803, 65694, 76562, 87487, 98292, 109146, 120001, 130822, 141599,
      152399, 163194, 173947, 184646, 195392, 206128, 216844
    },
    {
      11052, 22018, 32939, 43886, 54798, 65739, 76596, 87474, 98300, 109150, 120004, 130818, 141613,
      152408, 163159, 173965, 184696, 195445, 206177, 216829
    }
  };

  private static List<MeasuredPiece> loadCell() {
    List<MeasuredPiece> pieces = new ArrayList<>();
    for (int[] run : LOAD_CELL) {
      for (int i = 0; i < run.length; i++) {
        pieces.add(
            new MeasuredPiece(
                pieces.size() + 2, Length.ofMm(1_000L * (i + 1)), Length.ofNm(1_000L * run[i])));
      }
    }
    return pieces;
  }

  /**
   * NIST/SEMATECH e-Handbook, 4.6.1.5, numbers of the straight-line fit: F = 214.7464 with 18 and
   * 20 degrees of freedom, B0 = 0.614969E-02 (0.7132E-03), B1 = 0.722103E-06 (0.3969E-09), residual
   * standard deviation 0.0021712694. They were computed in few digits and hold to five; fractions
   * give F = 214.746923653909 for the same points.
   */
  @Test
  void theStraightLineOfAPublishedCaseStudyLacksWhatIsPublished() {
    LineFit fit = LineFit.of(loadCell());
    LackOfFit lack = LackOfFit.of(fit, loadCell());

    assertThat(lack.f())
        .isCloseTo(214.7464, within(1e-3))
        .isCloseTo(214.746923653909, within(1e-11));
    assertThat(lack.lackDegreesOfFreedom()).isEqualTo(18);
    assertThat(lack.errorDegreesOfFreedom()).isEqualTo(20);
    assertThat(lack.isSignificant()).isTrue();
    // A micrometre is 1e-5 in, a metre 150 000 lb.
    assertThat(fit.offsetMm() / 100).isCloseTo(0.614969e-2, withinPercentage(1e-3));
    assertThat(fit.scale() * 1_000 / 100 / 150_000).isCloseTo(0.722103e-6, withinPercentage(1e-3));
    assertThat(fit.scatter().residualSdMm() / 100).isCloseTo(0.0021712694, withinPercentage(1e-3));
    assertThat(fit.scatter().offsetSeMm() / 100).isCloseTo(0.7132e-3, withinPercentage(1e-2));
  }

  private static List<MeasuredPiece> pairs(SplittableRandom random, double bowMm) {
    long[] numbers = new long[48];
    for (int i = 0; i < 24; i++) {
      double x = 200 * (i / 2 + 1);
      double bow = bowMm * Math.sin(Math.PI * x / 2_600);
      double noise = 0.05 * (random.nextDouble() + random.nextDouble() - 1);
      numbers[2 * i] = Math.round(x) * 1_000_000;
      numbers[2 * i + 1] = Math.round((-0.35 + 1.0002 * x + bow + noise) * 100) * 10_000;
    }
    return Pieces.ofNm(numbers);
  }

  @Test
  void aStraightPositionerRarelySeemsBent() {
    SplittableRandom random = new SplittableRandom(1);
    int bent = 0;
    for (int round = 0; round < 400; round++) {
      List<MeasuredPiece> pieces = pairs(random, 0);
      bent += LackOfFit.of(LineFit.of(pieces), pieces).isSignificant() ? 1 : 0;
    }
    // 5 % of 400 are 20, with a standard deviation of 4.4.
    assertThat(bent).isBetween(4, 38);
  }

  @Test
  void aTableIsProposedOnlyWhereItIsAskedForAndCalledFor() {
    List<MeasuredPiece> straight = pairs(new SplittableRandom(2), 0);
    List<MeasuredPiece> bent = pairs(new SplittableRandom(2), 0.6);

    assertThat(Findings.of(straight, false, true, Calibration.TRUE).proposal().corrections())
        .isEqualTo(Corrections.NONE);
    assertThat(Findings.of(bent, false, false, Calibration.TRUE).proposal().corrections())
        .isEqualTo(Corrections.NONE);
    assertThat(Findings.of(bent, false, true, Calibration.TRUE).proposal().corrections().points())
        .hasSize(12);
  }

  @Test
  void piecesThatAreCutOnceOrOfTwoLengthsCannotTell() {
    List<MeasuredPiece> once = Pieces.ofNm(1, 1, 2, 2, 3, 4);
    List<MeasuredPiece> two = Pieces.ofNm(1, 1, 1, 2, 3, 4);

    assertThat(LackOfFit.of(LineFit.of(once), once)).isNull();
    assertThat(LackOfFit.of(LineFit.of(two), two)).isNull();
  }

  @Test
  void piecesThatAgreeToTheLastDigitAreNotTakenForExact() {
    long mm = 1_000_000;
    List<MeasuredPiece> pieces =
        Pieces.ofNm(
            100 * mm,
            100 * mm,
            100 * mm,
            100 * mm,
            200 * mm,
            200 * mm + 10_000,
            200 * mm,
            200 * mm + 10_000,
            300 * mm,
            300 * mm,
            300 * mm,
            300 * mm);

    assertThat(LackOfFit.of(LineFit.of(pieces), pieces).isSignificant()).isFalse();
  }

  /** With the table in force, every length that was cut comes out as the mean of its pieces. */
  @Test
  void withTheTableEveryLengthIsAsItWasMeasured() {
    SplittableRandom random = new SplittableRandom(3);
    Corrections before =
        new Corrections(
            List.of(
                new Corrections.Point(Length.ofMm(300), Length.ofNm(40_000)),
                new Corrections.Point(Length.ofMm(1_111), Length.ofNm(-90_000)),
                new Corrections.Point(Length.ofMm(2_000), Length.ofNm(10_000))));
    for (Corrections inForce : List.of(Corrections.NONE, before)) {
      Calibration present =
          new Calibration(Length.ofMm(-2), new BigDecimal("1.001"), Length.ofNm(1), inForce);
      List<MeasuredPiece> pieces = pairs(random, 0.6);
      Proposal proposal = Findings.of(pieces, false, true, present).proposal();
      Calibration after =
          new Calibration(
              proposal.offset(), proposal.scale(), Length.ofNm(1), proposal.corrections());
      for (int i = 0; i < pieces.size(); i += 2) {
        Length mean =
            Length.ofNm((pieces.get(i).measured().nm() + pieces.get(i + 1).measured().nm()) / 2);
        Length position = present.toPosition(pieces.get(i).target());
        assertThat(after.toLength(position).minus(mean).abs().nm()).isLessThanOrEqualTo(40);
      }
    }
  }

  /** A line alone on top of a table in force: everywhere, not only where pieces were cut. */
  @Test
  void aTableInForceIsKeptUnderTheNewLine() {
    Corrections inForce =
        new Corrections(
            List.of(
                new Corrections.Point(Length.ofMm(300), Length.ofNm(40_000)),
                new Corrections.Point(Length.ofMm(1_100), Length.ofNm(-90_000)),
                new Corrections.Point(Length.ofMm(2_000), Length.ofNm(10_000))));
    Calibration present =
        new Calibration(Length.ofMm(-2), new BigDecimal("1.001"), Length.ofNm(1), inForce);
    List<MeasuredPiece> pieces = pairs(new SplittableRandom(4), 0);
    LineFit fit = LineFit.of(pieces);
    Proposal proposal = Findings.of(pieces, false, false, present).proposal();
    Calibration after =
        new Calibration(
            proposal.offset(), proposal.scale(), Length.ofNm(1), proposal.corrections());

    for (long mm = 0; mm <= 4_000; mm += 37) {
      double asked = present.toLength(Length.ofMm(mm)).toReadingMm();
      assertThat(after.toLength(Length.ofMm(mm)).toReadingMm())
          .isCloseTo(fit.offsetMm() + fit.scale() * asked, within(40e-6));
    }
  }

  @Test
  void aTableThatTheConfigurationWouldRefuseIsNone() {
    long mm = 1_000_000;
    List<MeasuredPiece> leaps =
        Pieces.ofNm(
            100 * mm,
            100 * mm,
            100 * mm,
            100 * mm + 10_000,
            101 * mm,
            103 * mm,
            101 * mm,
            103 * mm + 10_000,
            1_000 * mm,
            1_000 * mm,
            1_000 * mm,
            1_000 * mm + 10_000);

    Findings findings = Findings.of(leaps, false, true, Calibration.TRUE);

    assertThat(findings.tabled()).isTrue();
    assertThat(findings.proposal().isFit()).isTrue();
    assertThat(findings.proposal().corrections()).isNull();
  }
}
