package org.kerftally.daemon.intake;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Timeout;
import org.kerftally.daemon.calibration.Findings;
import org.kerftally.daemon.calibration.FindingsText;
import org.kerftally.daemon.calibration.LineFit;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.LengthUnit;

/**
 * Holds that the bytes of a list of measured pieces are pieces within bounds or problems that name
 * their places; and that any pieces that determine a line end in figures, none of which is no
 * number.
 */
final class PieceCsvFuzzTest {

  @FuzzTest
  @Timeout(value = 300, unit = TimeUnit.SECONDS)
  void bytesAreMeasuredPiecesOrProblemsWithTheirPlaces(byte[] bytes) {
    PieceReading reading =
        Allocation.bounded(bytes.length, () -> PieceFileReader.read(bytes, "pieces.csv"));
    if (reading instanceof PieceReading.Bad bad) {
      JobFileFuzz.assertNamePlaces(bad.problems(), bytes, "pieces.csv");
      return;
    }
    PieceReading.Good good = (PieceReading.Good) reading;
    assertThat(good.unit()).isIn(LengthUnit.MM, LengthUnit.IN);
    List<MeasuredPiece> pieces = good.pieces();
    assertThat(pieces).hasSizeLessThanOrEqualTo(PieceFileReader.MAX_PIECES);
    for (MeasuredPiece piece : pieces) {
      assertThat(piece.target().isPositive()).isTrue();
      assertThat(piece.target()).isLessThanOrEqualTo(CellReader.MAX_LENGTH);
      assertThat(piece.measured().isPositive()).isTrue();
      assertThat(piece.measured()).isLessThanOrEqualTo(CellReader.MAX_LENGTH);
    }
    if (LineFit.isDetermined(pieces)) {
      assertTold(Findings.of(pieces, true, true, Calibration.TRUE), good.unit());
    }
  }

  private static void assertTold(Findings findings, LengthUnit unit) {
    assertThat(findings.fit().rSquared()).isBetween(0.0, 1.0);
    assertThat(FindingsText.lines(findings, unit, CellReader.MAX_LENGTH))
        .noneMatch(line -> line.contains("NaN") || line.contains("Infinity"));
    if (findings.proposal().isFit()) {
      assertThat(findings.proposal().yaml(Calibration.TRUE.resolution()))
          .startsWith("calibration:");
    }
  }
}
