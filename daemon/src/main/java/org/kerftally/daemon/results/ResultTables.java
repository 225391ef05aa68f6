package org.kerftally.daemon.results;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.cutlog.LoggedCut;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthText;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.stock.Offcut;
import org.kerftally.shared.stock.StickKind;

/**
 * Writes the tables that the office reads back: counts of a job, its cuts, the offcuts to hand.
 *
 * <p>Lengths in millimetres are exact decimals; times are RFC 3339 in UTC with milliseconds.
 */
final class ResultTables {

  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSS'Z'", java.util.Locale.ROOT)
          .withZone(ZoneOffset.UTC);

  private ResultTables() {}

  /** Writes {@code counts.csv}: a line for each line of the job. */
  static String counts(JobTally tally) {
    CsvText csv =
        new CsvText(
            "part", "material", "length", "wanted", "made", "rejected", "short", "length_mm");
    for (PartCount count : tally.parts()) {
      Part part = count.part();
      csv.text(part.name())
          .text(part.material())
          .text(LengthText.write(part.length(), tally.order().unit()))
          .number(count.wanted())
          .number(count.made())
          .number(count.rejected())
          .number(count.missing())
          .number(part.length().toMm())
          .end();
    }
    return csv.toString();
  }

  /** Writes {@code cuts.csv}: the columns of the cut log's view. */
  static String cuts(List<LoggedCut> cuts) {
    CsvText csv =
        new CsvText(
            "at",
            "station",
            "boot",
            "count",
            "seq",
            "job",
            "part",
            "stick",
            "wanted_mm",
            "actual_mm",
            "kind",
            "booked_at");
    for (LoggedCut cut : cuts) {
      csv.text(time(cut.at()))
          .text(cut.station())
          .text(cut.boot())
          .number(cut.count())
          .number(cut.seq())
          .text(cut.job())
          .text(cut.part())
          .number(cut.stick() == null ? null : Long.valueOf(cut.stick()))
          .number(mm(cut.wanted()))
          .number(mm(cut.actual()))
          .text(cut.kind().word())
          .text(time(cut.bookedAt()))
          .end();
    }
    return csv.toString();
  }

  /**
   * Writes {@code incidents.csv}: faults, lost links and saw cycles that are no part, while the job
   * was being cut. {@code until} is blank while one stands, and filled in when it is over, also
   * where that is after the job's end.
   */
  static String incidents(JobTally tally) {
    CsvText csv = new CsvText("since", "until", "station", "code", "text");
    for (Incidents.Fault each : tally.incidents().faults()) {
      csv.text(time(each.since()))
          .text(each.until() == null ? null : time(each.until()))
          .text(tally.station())
          .text(each.code())
          .text(each.text())
          .end();
    }
    return csv.toString();
  }

  /**
   * Writes {@code offcuts.csv}: the columns of a stock file, each offcut once. Its cost is blank,
   * for proportional to length.
   */
  static String offcuts(List<Offcut> offcuts) {
    CsvText csv = new CsvText("material", "length", "qty", "cost", "kind", "label");
    for (Offcut offcut : offcuts) {
      csv.text(offcut.material())
          .text(LengthText.write(offcut.length(), LengthUnit.MM))
          .number(1)
          .text(null)
          .text(StickKind.OFFCUT.word())
          .text(offcut.label())
          .end();
    }
    return csv.toString();
  }

  private static java.math.@Nullable BigDecimal mm(@Nullable Length length) {
    return length == null ? null : length.toMm();
  }

  private static String time(Instant at) {
    return TIME.format(at);
  }
}
