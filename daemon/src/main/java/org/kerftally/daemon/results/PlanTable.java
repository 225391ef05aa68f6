package org.kerftally.daemon.results;

import java.util.ArrayList;
import java.util.List;
import org.kerftally.daemon.results.StickDrawing.Run;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.problem.Problem;

/**
 * Writes a plan for people at a terminal: what it takes, how good it is, a bar drawn for each cut
 * pattern, and what cannot be made.
 *
 * <p>Bars hold lengths only, so that they stay aligned whatever script a part's name is written in.
 * Control characters in names are replaced: a job file must not steer the terminal. Lines end with
 * a line feed. No result depends on the locale. Not thread-safe.
 */
public final class PlanTable {

  /** The narrowest table that is drawn; a narrower terminal wraps it. */
  public static final int MIN_WIDTH = 40;

  /** The widest table that is drawn. */
  public static final int MAX_WIDTH = 200;

  /** Most patterns drawn: more are for programs, not for people. */
  static final int MAX_PATTERNS = 200;

  private static final String INDENT = "   ";

  private final StringBuilder text = new StringBuilder();
  private final UnitText unit;
  private final int width;
  private final boolean boxes;

  private PlanTable(LengthUnit unit, int width, boolean boxes) {
    this.unit = new UnitText(unit);
    this.width = Math.max(MIN_WIDTH, Math.min(MAX_WIDTH, width));
    this.boxes = boxes;
  }

  /**
   * Writes one report.
   *
   * @param report what became of the job file
   * @param unit the unit lengths are shown in
   * @param width how many columns the terminal has
   * @param boxes whether it can show box drawing and other characters beyond ASCII
   */
  public static String write(PlanReport report, LengthUnit unit, int width, boolean boxes) {
    PlanTable table = new PlanTable(unit, width, boxes);
    table.report(report);
    String text = table.text.toString();
    return boxes ? text : ascii(text);
  }

  private static String ascii(String text) {
    return text.replace('×', 'x').replace('–', '-').replace('≈', '~');
  }

  private void report(PlanReport report) {
    String elapsed = report.elapsedMillis() == null ? "" : " in " + report.elapsedMillis() + " ms";
    line(
        clean(report.job())
            + " ("
            + clean(report.file())
            + "): "
            + report.status().word()
            + (report.plan() == null ? "" : elapsed));
    CutPlan plan = report.plan();
    if (plan != null) {
      totals(plan);
      patterns(report, plan);
      for (Shortage shortage : plan.shortages()) {
        line("Short: " + shortage(shortage));
      }
    }
    for (Problem problem : report.problems()) {
      line("  " + clean(problem.text()));
    }
  }

  private void totals(CutPlan plan) {
    PlanFigures figures = PlanFigures.of(plan);
    line(
        counted(figures.sticks(), "stick")
            + " ("
            + unit.sum(figures.stickLength())
            + "), "
            + counted(figures.pieces(), "piece")
            + ", yield "
            + figures.yieldText()
            + ", waste "
            + figures.wasteText()
            + (figures.offcuts() == 0
                ? ""
                : ", "
                    + counted(figures.offcuts(), "offcut")
                    + " kept ("
                    + unit.sum(figures.offcutLength())
                    + ")"));
    line(PlanFigures.costText(plan));
  }

  private void patterns(PlanReport report, CutPlan plan) {
    int drawn = Math.min(MAX_PATTERNS, plan.sticks().size());
    for (int i = 0; i < drawn; i++) {
      PlannedSticks sticks = plan.sticks().get(i);
      StickDrawing drawing = StickDrawing.of(sticks, report.rules().kerf());
      line("");
      line(PatternName.of(i) + "  " + title(sticks));
      for (String row : new TextBar(width - INDENT.length(), boxes, unit).draw(drawing)) {
        line(INDENT + row);
      }
      key(drawing, sticks);
    }
    if (drawn < plan.sticks().size()) {
      line("");
      line("and " + counted(plan.sticks().size() - drawn, "more pattern"));
    }
    if (drawn > 0) {
      line("");
      line(TextBar.legend(boxes));
    }
  }

  private String title(PlannedSticks sticks) {
    StringBuilder title = new StringBuilder();
    title.append(sticks.repeat()).append(" × ");
    if (!sticks.material().isEmpty()) {
      title.append(clean(sticks.material())).append(", ");
    }
    title.append(unit.full(sticks.length()));
    switch (sticks.kind()) {
      case NEW -> {}
      case OFFCUT -> title.append(", offcut");
      case IN_SAW -> title.append(", in the saw");
    }
    if (sticks.label() != null) {
      title.append(" ").append(clean(sticks.label()));
    }
    return title.toString();
  }

  private void key(StickDrawing drawing, PlannedSticks sticks) {
    List<String> words = new ArrayList<>();
    for (Run run : drawing.runs()) {
      words.add(
          run.numbers()
              + " "
              + clean(run.part().part())
              + " "
              + unit.full(run.part().length())
              + (run.count() > 1 ? " ×" + run.count() : ""));
    }
    if (sticks.offcut() != null) {
      words.add("keep " + unit.full(sticks.offcut()));
    } else if (sticks.rest().isPositive()) {
      words.add("waste " + unit.full(sticks.rest()));
    } else {
      words.add("nothing is left");
    }
    StringBuilder row = new StringBuilder(INDENT);
    for (int i = 0; i < words.size(); i++) {
      String word = words.get(i) + (i < words.size() - 1 ? ", " : "");
      if (row.length() > INDENT.length() && row.length() + word.length() > width) {
        line(row.toString().stripTrailing());
        row = new StringBuilder(INDENT);
      }
      row.append(word);
    }
    line(row.toString());
  }

  private String shortage(Shortage shortage) {
    String material = shortage.material().isEmpty() ? "" : ", " + clean(shortage.material());
    return shortage.missing()
        + " × "
        + clean(shortage.part())
        + " "
        + unit.full(shortage.length())
        + material
        + " cannot be made from the stock there is.";
  }

  private static String counted(int count, String noun) {
    return count + " " + noun + (count == 1 ? "" : "s");
  }

  private static String clean(String name) {
    StringBuilder clean = new StringBuilder(name.length());
    name.codePoints()
        .map(c -> Character.isISOControl(c) || Character.getType(c) == Character.FORMAT ? '?' : c)
        .forEach(clean::appendCodePoint);
    return clean.toString();
  }

  private void line(String line) {
    text.append(line).append('\n');
  }
}
