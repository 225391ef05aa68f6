package org.kerftally.daemon.intake;

import java.util.Locale;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.table.Cell;
import org.kerftally.daemon.intake.table.CsvTable;
import org.kerftally.daemon.intake.table.JsonTable;
import org.kerftally.daemon.intake.table.Problems;
import org.kerftally.daemon.intake.table.Table;
import org.kerftally.daemon.intake.table.TextDecoder;
import org.kerftally.daemon.intake.table.TextDecoding;
import org.kerftally.daemon.intake.table.TextDecoding.Decoded;
import org.kerftally.daemon.intake.table.TextDecoding.Undecodable;
import org.kerftally.daemon.intake.table.Vocabulary;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.length.LengthUnit;

/**
 * Reads a job file, CSV or JSON: a job order, or every problem it has with line, column and mend.
 *
 * <p>Nothing is guessed. What the file's format allows in two ways, such as one part name with two
 * lengths, is refused with what to write instead. Work and memory are bounded by a small multiple
 * of the bytes given. No result depends on locale, zone or default charset. Safe for use by any
 * thread.
 */
public final class JobFileReader {

  private JobFileReader() {}

  /**
   * Reads a whole file.
   *
   * @param bytes its content, bounded by the caller
   * @param fileName its name with extension, without folders; {@code .json} makes it JSON
   * @param facts what it is checked against
   * @param idInUse tells which job ids are taken
   */
  public static JobReading read(
      byte[] bytes, String fileName, ShopFacts facts, Predicate<String> idInUse) {
    Problems problems = new Problems(fileName);
    Table table = table(bytes, fileName, Vocabulary.JOB, problems);
    if (table == null) {
      return new JobReading.Bad(problems.list());
    }
    JobOrder draft = new JobChecker(table, facts, problems).check(fileName, Sha256.hex(bytes));
    if (draft == null || !problems.isEmpty()) {
      return new JobReading.Bad(problems.list());
    }
    String id = JobIds.next(JobIds.slug(fileName), idInUse);
    return new JobReading.Good(
        new JobOrder(
            id,
            draft.name(),
            draft.file(),
            draft.sha256(),
            draft.due(),
            draft.unit(),
            draft.priority(),
            draft.station(),
            draft.parts()));
  }

  /**
   * Returns the unit that a job file's bare numbers are in, whatever else is wrong with it: a stock
   * file that goes with the job alone shares it.
   */
  public static LengthUnit unitOf(byte[] bytes, String fileName) {
    Problems ignored = new Problems(fileName);
    Table table = table(bytes, fileName, Vocabulary.JOB, ignored);
    Cell units = table == null ? null : table.key("units");
    boolean comma = table != null && table.decimalComma();
    LengthUnit unit = units == null ? null : new CellReader(ignored, comma).unit(units);
    return unit == null ? LengthUnit.MM : unit;
  }

  /** Reads a whole file into cells, or returns {@code null} when there is no table in it. */
  static @Nullable Table table(byte[] bytes, String fileName, Vocabulary words, Problems problems) {
    TextDecoding decoding = TextDecoder.decode(bytes);
    if (decoding instanceof Undecodable bad) {
      problems.add(bad.line(), null, bad.message(), bad.hint());
      return null;
    }
    String text = ((Decoded) decoding).text();
    return fileName.toLowerCase(Locale.ROOT).endsWith(".json")
        ? JsonTable.read(text, words, problems)
        : CsvTable.read(text, words, problems);
  }
}
