package org.kerftally.daemon.intake;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.table.CsvTable;
import org.kerftally.daemon.intake.table.Problems;
import org.kerftally.daemon.intake.table.Row;
import org.kerftally.daemon.intake.table.Table;
import org.kerftally.daemon.intake.table.TextDecoder;
import org.kerftally.daemon.intake.table.TextDecoding;
import org.kerftally.daemon.intake.table.TextDecoding.Decoded;
import org.kerftally.daemon.intake.table.TextDecoding.Undecodable;
import org.kerftally.daemon.intake.table.Vocabulary;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;

/**
 * Reads a list of pieces that were cut and measured:
 *
 * <pre>
 * # pieces of 14 March             any number of remarks, anywhere
 * target_mm,measured_mm,gauge      or target_in,measured_in; any order, further columns ignored
 * 500,500.12,caliper
 * </pre>
 *
 * <p>A line that begins with {@code #} is always a remark: that is how a piece is left out. A
 * length may carry its own unit. Where both units have their two columns, millimetres are read.
 * Encodings, delimiters and bounds of cells and lines are those of a job file. Safe for use by any
 * thread.
 */
public final class PieceFileReader {

  /** The most bytes of a file; who reads one is to give it up at one more. */
  public static final int MAX_BYTES = 1 << 20;

  /** The most pieces of a file: far more than anybody measures by hand. */
  public static final int MAX_PIECES = 5_000;

  private static final Vocabulary MILLIMETRES = Vocabulary.pieces(LengthUnit.MM.symbol());
  private static final Vocabulary INCHES = Vocabulary.pieces(LengthUnit.IN.symbol());

  private PieceFileReader() {}

  /**
   * Reads a whole file.
   *
   * @param bytes its content, at most {@link #MAX_BYTES}
   * @param fileName its name, for the problems
   */
  public static PieceReading read(byte[] bytes, String fileName) {
    Problems problems = new Problems(fileName);
    TextDecoding decoding = TextDecoder.decode(bytes);
    if (decoding instanceof Undecodable bad) {
      problems.add(bad.line(), null, bad.message(), bad.hint());
      return new PieceReading.Bad(problems.list());
    }
    String text = ((Decoded) decoding).text();
    // Which unit is meant is known by its columns alone, so a file is first looked at for inches.
    boolean inches = holds(text, INCHES) && !holds(text, MILLIMETRES);
    LengthUnit unit = inches ? LengthUnit.IN : LengthUnit.MM;
    Table table = CsvTable.read(text, inches ? INCHES : MILLIMETRES, problems);
    List<MeasuredPiece> pieces = table == null ? List.of() : pieces(table, unit, problems);
    return problems.isEmpty()
        ? new PieceReading.Good(pieces, unit)
        : new PieceReading.Bad(problems.list());
  }

  private static boolean holds(String text, Vocabulary words) {
    Table table = CsvTable.read(text, words, new Problems(""));
    return table != null && words.columns().stream().anyMatch(table.columns()::contains);
  }

  private static List<MeasuredPiece> pieces(Table table, LengthUnit unit, Problems problems) {
    String target = "target_" + unit.symbol();
    String measured = "measured_" + unit.symbol();
    if (!table.columns().contains(target) || !table.columns().contains(measured)) {
      return List.of();
    }
    if (table.rows().size() > MAX_PIECES) {
      problems.add(
          table.rows().get(MAX_PIECES).line(),
          null,
          "the file has more than " + MAX_PIECES + " pieces",
          "leave some out: thirty, spread over the whole travel, tell nearly as much");
      return List.of();
    }
    CellReader cells = new CellReader(problems, table.decimalComma());
    List<MeasuredPiece> pieces = new ArrayList<>();
    for (Row row : table.rows()) {
      if (row.filled(target) == null && row.filled(measured) == null) {
        continue;
      }
      @Nullable Length wanted = cells.length(row.cell(target), unit);
      @Nullable Length got = cells.length(row.cell(measured), unit);
      if (wanted != null && got != null) {
        pieces.add(new MeasuredPiece(row.line(), wanted, got));
      }
    }
    return pieces;
  }
}
