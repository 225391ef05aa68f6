package org.kerftally.daemon.calibration;

import java.io.IOException;
import java.io.InputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.kerftally.daemon.intake.PieceFileReader;
import org.kerftally.daemon.intake.PieceReading;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;

/** Makes pieces for tests. */
final class Pieces {

  private Pieces() {}

  /** Returns the reference data set; its source stands in the file. */
  static List<MeasuredPiece> norris() throws IOException {
    try (InputStream in = Pieces.class.getResourceAsStream("norris.csv")) {
      return ((PieceReading.Good) PieceFileReader.read(in.readAllBytes(), "norris.csv")).pieces();
    }
  }

  /** Returns pieces from pairs of target and measured length in nanometres, on lines from 2. */
  static List<MeasuredPiece> ofNm(long... pairs) {
    List<MeasuredPiece> pieces = new ArrayList<>();
    for (int i = 0; i < pairs.length; i += 2) {
      pieces.add(new MeasuredPiece(2 + i / 2, Length.ofNm(pairs[i]), Length.ofNm(pairs[i + 1])));
    }
    return pieces;
  }

  /** Returns pieces of a positioner a little off, read to 0.01 mm with normal scatter. */
  static List<MeasuredPiece> scattered(SplittableRandom random, int count, double sdMm) {
    long[] pairs = new long[2 * count];
    for (int i = 0; i < count; i++) {
      double target = 100 + random.nextInt(4_000);
      double measured = -0.35 + 1.0002 * target + sdMm * normal(random);
      pairs[2 * i] = Math.round(target) * 1_000_000;
      pairs[2 * i + 1] = Math.round(measured * 100) * 10_000;
    }
    return ofNm(pairs);
  }

  /** Returns the pieces with one of them measured longer by so much. */
  static List<MeasuredPiece> with(List<MeasuredPiece> pieces, int index, Length error) {
    List<MeasuredPiece> changed = new ArrayList<>(pieces);
    MeasuredPiece piece = changed.get(index);
    changed.set(
        index, new MeasuredPiece(piece.line(), piece.target(), piece.measured().plus(error)));
    return changed;
  }

  /** Twelve uniform numbers make a normal one as near as a test needs. */
  private static double normal(SplittableRandom random) {
    double sum = -6;
    for (int i = 0; i < 12; i++) {
      sum += random.nextDouble();
    }
    return sum;
  }
}
