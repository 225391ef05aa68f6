package org.kerftally.daemon.calibration;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Corrections;
import org.kerftally.shared.length.Length;

/**
 * Turns a fitted line into the figures to write into the configuration.
 *
 * <p>Pieces were sent through the calibration in force then, offset o and scale s: a target x went
 * to position p = (x − o) / s. With measured = a + b x the length at a position is a + b (o + s p),
 * so offset and scale to write are a + b o and b s. Written are {@value #SCALE_DECIMALS} decimals
 * of the scale, and the offset that keeps the mean of the pieces where it is, to {@value #STEP_NM}
 * nm: no length within ten metres of the pieces moves by more than 10 nm. Tables of corrections:
 * see {@link TableOnLine}.
 *
 * @param offset the offset to write; 0 where the scale is absurd, for it may be beyond all lengths
 * @param scale the scale to write
 * @param corrections the table to write, {@code null} where it is none that the configuration takes
 */
public record Proposal(Length offset, BigDecimal scale, @Nullable Corrections corrections) {

  /** What the configuration takes for a scale; beyond it something else is wrong. */
  static final BigDecimal LEAST_SCALE = new BigDecimal("0.5");

  static final BigDecimal MOST_SCALE = new BigDecimal("2");

  private static final int SCALE_DECIMALS = 9;
  private static final long STEP_NM = 10;
  private static final Length FARTHEST_OFFSET = Length.ofMm(100_000);

  /**
   * Combines a line with the calibration its pieces were cut with.
   *
   * @param present that calibration, {@link Calibration#TRUE} for none
   * @param own the pieces' own table on top of the line, {@code null} for one that cannot be
   *     written
   */
  static Proposal of(LineFit fit, Calibration present, @Nullable Corrections own) {
    BigDecimal scale =
        fit.exactScale().multiply(present.scale()).setScale(SCALE_DECIMALS, RoundingMode.HALF_EVEN);
    if (!isUsual(scale)) {
      return new Proposal(Length.ZERO, plain(scale), null);
    }
    BigDecimal meanPositionNm =
        fit.meanTargetNm()
            .subtract(BigDecimal.valueOf(present.offset().nm()))
            .divide(present.scale(), LineFit.PRECISION);
    BigDecimal steps =
        fit.meanMeasuredNm()
            .subtract(scale.multiply(meanPositionNm))
            .divide(BigDecimal.valueOf(STEP_NM), 0, RoundingMode.HALF_EVEN);
    return new Proposal(
        Length.ofNm(Math.multiplyExact(steps.longValueExact(), STEP_NM)),
        plain(scale),
        own == null ? null : TableOnLine.combine(fit, present.corrections(), own));
  }

  private static BigDecimal plain(BigDecimal scale) {
    BigDecimal plain = scale.stripTrailingZeros();
    return plain.setScale(Math.max(0, plain.scale()), RoundingMode.UNNECESSARY);
  }

  private static boolean isUsual(BigDecimal scale) {
    return scale.compareTo(LEAST_SCALE) >= 0 && scale.compareTo(MOST_SCALE) <= 0;
  }

  /** Tells whether the configuration would take the scale. */
  public boolean hasUsualScale() {
    return isUsual(scale);
  }

  /** Tells whether the configuration would take offset and scale. */
  public boolean isFit() {
    return isUsual(scale) && !offset.abs().isMoreThan(FARTHEST_OFFSET);
  }

  /**
   * Returns what to paste, as the configuration reads it.
   *
   * @param resolution what is to stand there too, such as the station's resolution
   */
  public String yaml(Length resolution) {
    boolean usual = resolution.equals(Calibration.TRUE.resolution());
    if (corrections == null || corrections.points().isEmpty()) {
      String more = usual ? "" : ", resolution: " + resolution;
      return "calibration: { offset: " + offset + ", scale: " + scale.toPlainString() + more + " }";
    }
    StringBuilder yaml = new StringBuilder("calibration:\n");
    yaml.append("  offset: ").append(offset).append('\n');
    yaml.append("  scale: ").append(scale.toPlainString()).append('\n');
    if (!usual) {
      yaml.append("  resolution: ").append(resolution).append('\n');
    }
    yaml.append("  corrections:\n");
    for (Corrections.Point point : corrections.points()) {
      yaml.append("    - { at: ").append(point.at());
      yaml.append(", add: ").append(point.add()).append(" }\n");
    }
    return yaml.toString();
  }
}
