package org.kerftally.daemon.intake;

import java.time.DateTimeException;
import java.time.LocalDate;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.ShopFacts.PartLimits;
import org.kerftally.daemon.intake.table.Cell;
import org.kerftally.daemon.intake.table.Nearest;
import org.kerftally.daemon.intake.table.Problems;
import org.kerftally.daemon.intake.table.Row;
import org.kerftally.daemon.intake.table.Table;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthText;
import org.kerftally.shared.length.LengthUnit;

/**
 * Judges the cells of one job file against the shop's facts and adds every problem. For one file
 * and one thread.
 */
final class JobChecker {

  private static final int DEFAULT_PRIORITY = 5;

  private final Table table;
  private final ShopFacts facts;
  private final Problems problems;
  private final CellReader cells;
  private final List<String> materials;
  private final Nearest nearestMaterial;
  private final PartList parts;
  private LengthUnit unit = LengthUnit.MM;
  private @Nullable String station;

  JobChecker(Table table, ShopFacts facts, Problems problems) {
    this.table = table;
    this.facts = facts;
    this.problems = problems;
    this.cells = new CellReader(problems, table.decimalComma());
    this.materials = List.copyOf(facts.materials());
    this.nearestMaterial = new Nearest(materials);
    this.parts = new PartList(problems);
  }

  /** Returns the job order with an empty id, or {@code null} when it has no part; see problems. */
  @Nullable JobOrder check(String fileName, String sha256) {
    Cell job = table.key("job");
    Cell priority = table.key("priority");
    Cell units = table.key("units");
    LengthUnit written = units == null ? null : cells.unit(units);
    unit = written == null ? LengthUnit.MM : written;
    Integer urgency = priority == null ? null : cells.priority(priority);
    LocalDate due = due();
    station = station();
    if (materials.isEmpty()) {
      problems.add(
          0,
          null,
          "there is no stock to cut from",
          "list the stock in stock.csv, then drop it again");
    }
    for (Row row : table.rows()) {
      part(row);
    }
    List<Part> list = parts.list();
    if (table.rows().isEmpty() && problems.isEmpty()) {
      problems.add(
          0, null, "the file names no part", "write a line for each part, with its length");
    }
    if (list.isEmpty()) {
      return null;
    }
    return new JobOrder(
        "",
        job == null || job.refused() ? JobIds.stem(fileName) : job.text(),
        fileName,
        sha256,
        due,
        unit,
        urgency == null ? DEFAULT_PRIORITY : urgency,
        station,
        list);
  }

  private @Nullable LocalDate due() {
    Cell cell = table.key("due");
    if (cell == null || cell.refused()) {
      return null;
    }
    if (cell.text().matches("[0-9]{4}-[0-9]{2}-[0-9]{2}")) {
      try {
        return LocalDate.parse(cell.text());
      } catch (DateTimeException e) {
        problems.add(cell, cell.quoted() + " is no day of the calendar", "write a day that exists");
        return null;
      }
    }
    problems.add(cell, cell.quoted() + " is no date", "write year-month-day, such as 2027-03-01");
    return null;
  }

  private @Nullable String station() {
    Cell cell = table.key("station");
    if (cell == null || cell.refused()) {
      return null;
    }
    List<String> known = facts.stations();
    if (known.isEmpty() || known.contains(cell.text())) {
      return cell.text();
    }
    String nearest = new Nearest(known).to(cell.text());
    problems.add(
        cell,
        cell.quoted() + " is no known station",
        nearest == null ? "write one of " + String.join(", ", known) : "write " + nearest);
    return null;
  }

  private void part(Row row) {
    Length length = has("length") ? cells.length(row.cell("length"), unit) : null;
    Integer quantity = has("qty") ? cells.quantity(row.cell("qty"), 1) : null;
    Cell urgency = row.filled("priority");
    Integer priority = urgency == null ? null : cells.priority(urgency);
    Cell note = row.filled("note");
    Cell part = row.filled("part");
    String material = material(row);
    if (length != null && material != null) {
      within(row.cell("length"), length, material);
    }
    if (length == null || quantity == null || material == null || refused(part)) {
      return;
    }
    parts.add(
        row,
        new Part(
            part == null ? row.cell("length").text() : part.text(),
            length,
            quantity,
            material,
            priority == null ? DEFAULT_PRIORITY : priority,
            note == null || note.refused() ? null : note.text()));
  }

  private static boolean refused(@Nullable Cell cell) {
    return cell != null && cell.refused();
  }

  private boolean has(String column) {
    return table.columns().contains(column);
  }

  private @Nullable String material(Row row) {
    Cell cell = row.cell("material");
    if (materials.isEmpty() || cell.refused()) {
      return null;
    }
    if (materials.contains(cell.text())) {
      return cell.text();
    }
    if (cell.isEmpty()) {
      if (materials.size() == 1) {
        return materials.get(0);
      }
      problems.add(cell, "no material is written, and the stock has several", "write " + choice());
      return null;
    }
    String nearest = nearestMaterial.to(cell.text());
    boolean unnamed = materials.size() == 1 && materials.get(0).isEmpty();
    problems.add(
        cell,
        cell.quoted() + " is not in stock",
        unnamed
            ? "leave it empty, since stock.csv names no material"
            : nearest == null || nearest.isEmpty() ? "write " + choice() : "write " + nearest);
    return null;
  }

  /** Names the first few materials in stock. */
  private String choice() {
    int shown = 8;
    String some = String.join(", ", materials.subList(0, Math.min(shown, materials.size())));
    return "one of " + some + (materials.size() > shown ? ", … as in stock.csv" : "");
  }

  private void within(Cell cell, Length length, String material) {
    PartLimits limits = facts.limits(material, station);
    Length stick = limits.longestStick();
    Length longest = limits.longestPart();
    if (stick != null && longest != null && length.isMoreThan(longest)) {
      String of = material.isEmpty() ? "" : " of " + material;
      problems.add(
          cell,
          cell.quoted()
              + " is longer than any stick"
              + of
              + " allows: the longest is "
              + show(stick),
          longest.isPositive()
              ? "write at most " + show(longest) + ", or put a longer stick into stock.csv"
              : "put a longer stick into stock.csv");
    }
    Travel reach = limits.reach();
    if (reach != null && length.isMoreThan(reach.max())) {
      problems.add(
          cell,
          cell.quoted() + " is beyond the stop's travel, which ends at " + show(reach.max()),
          "write at most " + show(reach.max()) + ", or cut it by hand");
    }
    if (reach != null && length.isLessThan(reach.min())) {
      problems.add(
          cell,
          cell.quoted() + " is below the stop's travel, which begins at " + show(reach.min()),
          "write at least " + show(reach.min()) + ", or cut it by hand");
    }
  }

  private String show(Length length) {
    return LengthText.write(length, unit);
  }
}
