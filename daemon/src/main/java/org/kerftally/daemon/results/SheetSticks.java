package org.kerftally.daemon.results;

import java.util.ArrayList;
import java.util.List;
import org.kerftally.daemon.results.StickDrawing.Run;
import org.kerftally.shared.plan.CutOrder;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;

/**
 * Writes the stick list of a sheet: for each pattern its sticks, a bar, the key to its numbers, and
 * a box to tick for every stick.
 */
final class SheetSticks {

  /** Most boxes of one pattern: more are counted on a line to write on. */
  static final int MAX_BOXES = 400;

  /** Most characters of an entry that fits in a third of the page. */
  private static final int NARROW_CHARACTERS = 27;

  private final Html html;
  private final Sheet.Content content;
  private final UnitText unit;
  private final int allSticks;

  SheetSticks(Html html, Sheet.Content content) {
    this.html = html;
    this.content = content;
    this.unit = new UnitText(content.order().unit());
    this.allSticks = content.plan().stickCount();
  }

  void write() {
    int first = 1;
    List<PlannedSticks> patterns = content.plan().sticks();
    if (patterns.isEmpty()) {
      html.raw("<p>Nothing is left to cut.</p>\n");
    }
    for (int i = 0; i < patterns.size(); i++) {
      PlannedSticks sticks = patterns.get(i);
      write(PatternName.of(i), sticks, first);
      first += sticks.repeat();
    }
  }

  private void write(String name, PlannedSticks sticks, int first) {
    StickDrawing drawing = StickDrawing.of(sticks, content.kerf().apply(sticks.material()));
    int last = first + sticks.repeat() - 1;
    html.raw("<section>\n<h3><span class=\"name\">").text(name).raw("</span> <span>");
    html.number(sticks.repeat()).raw(" × ");
    if (!sticks.material().isEmpty()) {
      html.text(sticks.material()).raw(", ");
    }
    html.text(unit.full(sticks.length())).raw("</span>");
    if (sticks.kind() == StickKind.OFFCUT) {
      html.raw(" <span class=\"label\">offcut ").text(sticks.label()).raw("</span>");
    } else if (sticks.kind() == StickKind.IN_SAW) {
      html.raw(" <span class=\"label\">lies in the saw ").text(sticks.label()).raw("</span>");
    } else if (sticks.label() != null) {
      html.raw(" <span class=\"label\">").text(sticks.label()).raw("</span>");
    }
    html.raw(" <span class=\"count\">")
        .text(first == last ? "stick " + first : "sticks " + first + "–" + last)
        .raw(" of ")
        .number(allSticks)
        .raw("</span></h3>\n");
    new SheetBar(html, unit, drawing).write();
    key(sticks, drawing);
    if (turns(sticks)) {
      html.raw("<p>Every second stick is cut in the opposite order: the last part first.</p>\n");
    }
    boxes(first, sticks.repeat(), sticks.offcut() != null);
    html.raw("</section>\n");
  }

  private static boolean turns(PlannedSticks sticks) {
    return sticks.cutOrder() == CutOrder.TURNING && sticks.repeat() > 1;
  }

  private record Entry(String numbers, String what, String length, String times) {

    int size() {
      return numbers.length() + what.length() + length.length() + times.length();
    }
  }

  private void key(PlannedSticks sticks, StickDrawing drawing) {
    List<Entry> entries = new ArrayList<>();
    if (sticks.leadTrim().isPositive()) {
      entries.add(new Entry("", "square the end", unit.full(sticks.leadTrim()), ""));
    }
    for (Run run : drawing.runs()) {
      entries.add(
          new Entry(
              run.numbers(),
              run.part().part(),
              unit.full(run.part().length()),
              run.count() > 1 ? "× " + run.count() : ""));
    }
    if (sticks.offcut() != null) {
      entries.add(new Entry("", "keep as offcut", unit.full(sticks.offcut()), ""));
    } else if (sticks.rest().isPositive()) {
      entries.add(new Entry("", "waste", unit.full(sticks.rest()), ""));
    }
    boolean wide = entries.stream().anyMatch(e -> e.size() > NARROW_CHARACTERS);
    html.raw(wide ? "<ul class=\"key wide\">\n" : "<ul class=\"key\">\n");
    entries.forEach(this::entry);
    html.raw("</ul>\n");
  }

  private void entry(Entry entry) {
    html.raw("<li><i>").text(entry.numbers()).raw("</i><span>").text(entry.what());
    html.raw("</span> <b>").text(entry.length()).raw("</b>");
    if (!entry.times().isEmpty()) {
      html.raw(" <em>").text(entry.times()).raw("</em>");
    }
    html.raw("</li>\n");
  }

  /** Boxes to tick; where an offcut is kept, with room to write its label. */
  private void boxes(int first, int count, boolean keepsOffcut) {
    html.raw(keepsOffcut ? "<p class=\"boxes labelled\">" : "<p class=\"boxes\">");
    int shown = Math.min(MAX_BOXES, count);
    for (int i = 0; i < shown; i++) {
      html.raw("<span>").number(first + i).raw(keepsOffcut ? "<i>label</i></span>" : "</span>");
    }
    if (shown < count) {
      html.raw("<b>and ").number(count - shown).raw(" more: ________________</b>");
    }
    html.raw("</p>\n");
  }
}
