package org.kerftally.daemon.results;

import java.util.ArrayList;
import java.util.List;
import org.kerftally.daemon.results.StickDrawing.Run;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.CutOrder;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.LengthAdvice;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.problem.Problem;

/**
 * Writes a plan for people at a terminal: what it takes and how good it is, then for each material
 * a table of its cut patterns, a bar drawn for each of them and what another stick length would
 * save, and at last what cannot be made.
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

  private static final int MAX_NAME_CHARS = 40;

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
   * @param advice stick lengths that would save material, at most one for each
   * @param unit the unit lengths are shown in
   * @param width how many columns the terminal has
   * @param boxes whether it can show box drawing and other characters beyond ASCII
   */
  public static String write(
      PlanReport report, List<LengthAdvice> advice, LengthUnit unit, int width, boolean boxes) {
    PlanTable table = new PlanTable(unit, width, boxes);
    table.report(report, advice);
    String text = table.text.toString();
    return boxes ? text : TerminalText.ascii(text);
  }

  private void report(PlanReport report, List<LengthAdvice> advice) {
    String elapsed = report.elapsedMillis() == null ? "" : " in " + report.elapsedMillis() + " ms";
    line(
        TerminalText.clean(report.job())
            + " ("
            + TerminalText.clean(report.file())
            + "): "
            + report.status().word()
            + (report.plan() == null ? "" : elapsed));
    CutPlan plan = report.plan();
    if (plan != null) {
      totals(plan);
      patterns(report, plan, advice);
      for (Shortage shortage : plan.shortages()) {
        line("Short: " + shortage(shortage));
      }
    }
    for (Problem problem : report.problems()) {
      line("  " + TerminalText.clean(problem.text()));
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
    line(
        "Of the waste "
            + unit.sum(figures.kerfLength())
            + " are kerf, "
            + unit.sum(figures.trimLength())
            + " trim, "
            + unit.sum(figures.scrapLength())
            + " remainders too short to keep.");
    line(PlanFigures.costText(plan));
    if (plan.figures() != null) {
      List<String> words = FigureWords.of(plan.figures(), unit);
      TerminalText.wrapped(List.of(String.join(", ", words).split(" ")), " ", width)
          .forEach(this::line);
    }
  }

  private void patterns(PlanReport report, CutPlan plan, List<LengthAdvice> advice) {
    int from = 0;
    while (from < plan.sticks().size()) {
      String material = plan.sticks().get(from).material();
      int to = from;
      while (to < plan.sticks().size() && plan.sticks().get(to).material().equals(material)) {
        to++;
      }
      material(report, plan.sticks().subList(from, to), from);
      for (LengthAdvice other : advice) {
        if (other.material().equals(material)) {
          advice(other);
        }
      }
      from = to;
    }
    if (!plan.sticks().isEmpty()) {
      line("");
      line(TextBar.legend(boxes));
    }
  }

  /** Writes sticks of one material; their patterns are named on from what came before. */
  private void material(PlanReport report, List<PlannedSticks> sticks, int before) {
    String material = sticks.get(0).material();
    String name = material.isEmpty() ? "" : TerminalText.cut(material, MAX_NAME_CHARS) + ": ";
    int drawn = Math.max(0, Math.min(MAX_PATTERNS - before, sticks.size()));
    line("");
    List<String> words = List.of(MaterialTable.byLength(sticks, unit).split(", "));
    String start = name;
    for (String row : TerminalText.wrapped(words, ", ", width - name.length())) {
      line(start + row);
      start = INDENT;
    }
    MaterialTable table = new MaterialTable(unit, width - INDENT.length());
    for (int i = 0; i < drawn; i++) {
      table.add(PatternName.of(before + i), sticks.get(i));
    }
    if (drawn > 0) {
      table.lines().forEach(row -> line(INDENT + row));
    }
    for (int i = 0; i < drawn; i++) {
      draw(report, sticks.get(i), PatternName.of(before + i));
    }
    if (drawn < sticks.size()) {
      line("");
      line("and " + counted(sticks.size() - drawn, "more pattern"));
    }
  }

  private void draw(PlanReport report, PlannedSticks sticks, String name) {
    StickDrawing drawing = StickDrawing.of(sticks, report.rules().kerf());
    line("");
    line(name + "  " + title(sticks));
    for (String row : new TextBar(width - INDENT.length(), boxes, unit).draw(drawing)) {
      line(INDENT + row);
    }
    key(drawing, sticks);
  }

  private void advice(LengthAdvice other) {
    line("");
    String text =
        "Sticks of "
            + unit.full(other.instead())
            + " would need "
            + unit.sum(other.saved())
            + " less ("
            + Shares.percent(other.saved(), other.used())
            + "): "
            + other.sticksInstead()
            + " of them for the "
            + counted(other.sticks(), "new stick")
            + " above, whatever either costs.";
    TerminalText.wrapped(List.of(text.split(" ")), " ", width).forEach(this::line);
  }

  private String title(PlannedSticks sticks) {
    StringBuilder title = new StringBuilder();
    title.append(sticks.repeat()).append(" × ");
    if (!sticks.material().isEmpty()) {
      title.append(TerminalText.cut(sticks.material(), MAX_NAME_CHARS)).append(", ");
    }
    title.append(unit.full(sticks.length()));
    switch (sticks.kind()) {
      case NEW -> {}
      case OFFCUT -> title.append(", offcut");
      case IN_SAW -> title.append(", in the saw");
    }
    if (sticks.label() != null) {
      title.append(" ").append(TerminalText.cut(sticks.label(), MAX_NAME_CHARS));
    }
    if (sticks.cutOrder() == CutOrder.TURNING && sticks.repeat() > 1) {
      title.append(", every second one last part first");
    }
    return title.toString();
  }

  private void key(StickDrawing drawing, PlannedSticks sticks) {
    List<String> words = new ArrayList<>();
    for (Run run : drawing.runs()) {
      words.add(
          run.numbers()
              + " "
              + TerminalText.cut(run.part().part(), MAX_NAME_CHARS)
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
    TerminalText.wrapped(words, ", ", width - INDENT.length()).forEach(row -> line(INDENT + row));
  }

  private String shortage(Shortage shortage) {
    String material =
        shortage.material().isEmpty() ? "" : ", " + TerminalText.clean(shortage.material());
    return shortage.missing()
        + " × "
        + TerminalText.clean(shortage.part())
        + " "
        + unit.full(shortage.length())
        + material
        + " cannot be made from the stock there is.";
  }

  private static String counted(int count, String noun) {
    return count + " " + noun + (count == 1 ? "" : "s");
  }

  private void line(String line) {
    text.append(line).append('\n');
  }
}
