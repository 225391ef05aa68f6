package org.kerftally.daemon.intake;

import java.util.List;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.problem.Problem;

/** Holds what became of a list of measured pieces: the pieces, or everything that is wrong. */
public sealed interface PieceReading {

  /**
   * The file states pieces, maybe none.
   *
   * @param pieces in the file's order
   * @param unit the unit its header names
   */
  record Good(List<MeasuredPiece> pieces, LengthUnit unit) implements PieceReading {

    /** Copies the list. */
    public Good {
      pieces = List.copyOf(pieces);
    }
  }

  /** The file is refused, with at least one problem. */
  record Bad(List<Problem> problems) implements PieceReading {

    /** Copies the list. */
    public Bad {
      problems = List.copyOf(problems);
    }
  }
}
