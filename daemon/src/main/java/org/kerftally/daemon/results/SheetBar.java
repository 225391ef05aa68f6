package org.kerftally.daemon.results;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.kerftally.daemon.results.StickDrawing.Kind;
import org.kerftally.daemon.results.StickDrawing.Run;
import org.kerftally.daemon.results.StickDrawing.Segment;
import org.kerftally.shared.length.Length;

/**
 * Draws one stick to scale as inline SVG, {@value #WIDTH} units wide.
 *
 * <p>Why it is built so. A bar must stay readable whether it holds two long parts or eighty short
 * ones. So what a segment says depends on its room: name and length, the length alone, the length
 * upright, or nothing. Below the bar each run of equal parts carries its cut numbers, in up to
 * {@value #NUMBER_ROWS} rows where they would touch; these numbers stand in the key beneath with
 * name and length. So nothing depends on a label that did not fit.
 *
 * <p>Widths follow from rounded boundaries, not from rounded lengths: they add up to the bar
 * exactly. Character widths are an estimate on the wide side, since the reader's fonts are not
 * known here.
 */
final class SheetBar {

  /** The bar's width in units of the drawing; a page shows it as about 186 mm. */
  static final int WIDTH = 1000;

  private static final int TOP = 2;
  private static final int HEIGHT = 56;
  private static final int BOTTOM = TOP + HEIGHT;
  private static final int NUMBER_ROWS = 3;
  private static final int ROW_HEIGHT = 16;
  private static final double NAME_SIZE = 15;
  private static final double LENGTH_SIZE = 19;
  private static final double UPRIGHT_SIZE = 14;
  private static final double NUMBER_SIZE = 13;

  /** What a character takes at most of its size, on the average of a word. */
  private static final double CHARACTER = 0.6;

  /** The fillings, defined once for the page. */
  static final String HATCHES =
      """
      <svg class="hatches" width="0" height="0" aria-hidden="true"><defs>
      <pattern id="keep" width="9" height="9" patternUnits="userSpaceOnUse" \
      patternTransform="rotate(45)"><rect width="9" height="9" fill="#fff"/>\
      <path d="M0 0V9" stroke="#000" stroke-width="1.6"/></pattern>
      <pattern id="waste" width="5" height="5" patternUnits="userSpaceOnUse" \
      patternTransform="rotate(45)"><rect width="5" height="5" fill="#fff"/>\
      <path d="M0 0V5M0 0H5" stroke="#000" stroke-width="1.1"/></pattern>
      </defs></svg>
      """;

  /** What the legend shows. */
  enum Sample {
    PART("part", "#fff"),
    KERF("kerf", "#000"),
    OFFCUT("offcut to keep", "url(#keep)"),
    WASTE("trim and waste", "url(#waste)");

    private final String word;
    private final String fill;

    Sample(String word, String fill) {
      this.word = word;
      this.fill = fill;
    }

    String word() {
      return word;
    }

    String svg() {
      int width = this == KERF ? 3 : 26;
      return "<svg class=\"sample\" width=\""
          + (width + 2)
          + "\" height=\"13\" aria-hidden=\"true\"><rect x=\"1\" y=\"1\" width=\""
          + width
          + "\" height=\"11\" fill=\""
          + fill
          + "\" stroke=\"#000\"/></svg>";
    }
  }

  private final Html html;
  private final UnitText unit;
  private final StickDrawing drawing;

  SheetBar(Html html, UnitText unit, StickDrawing drawing) {
    this.html = html;
    this.unit = unit;
    this.drawing = drawing;
  }

  private record Mark(String text, BigDecimal from, BigDecimal to, double middle, int row) {}

  void write() {
    List<Mark> marks = marks();
    int rows = marks.stream().mapToInt(m -> m.row() + 1).max().orElse(0);
    int height = BOTTOM + 9 + rows * ROW_HEIGHT;
    html.raw("<svg class=\"bar\" viewBox=\"0 0 " + WIDTH + " " + height + "\" role=\"img\">\n");
    html.raw("<title>").text(unit.full(drawing.length())).raw("</title>\n");
    // Kerfs last: a kerf is thinner than a printer's dot, and its outline must stay on top.
    drawing.segments().stream().filter(s -> s.kind() != Kind.KERF).forEach(this::rect);
    drawing.segments().stream().filter(s -> s.kind() == Kind.KERF).forEach(this::rect);
    html.raw("<rect class=\"edge\" x=\"0\" y=\"" + TOP + "\" width=\"" + WIDTH + "\" height=\"");
    html.raw(HEIGHT + "\"/>\n");
    for (Segment segment : drawing.segments()) {
      label(segment);
    }
    marks.forEach(this::mark);
    html.raw("</svg>\n");
  }

  /** A place on the stick as a place in the drawing, rounded to 1/1000 unit. */
  private BigDecimal x(Length at) {
    return BigDecimal.valueOf(at.nm())
        .multiply(BigDecimal.valueOf(WIDTH))
        .divide(BigDecimal.valueOf(drawing.length().nm()), 3, RoundingMode.HALF_UP);
  }

  private void rect(Segment segment) {
    BigDecimal from = x(segment.from());
    BigDecimal width = x(segment.from().plus(segment.length())).subtract(from);
    String kind =
        switch (segment.kind()) {
          case PART -> "part";
          case KERF -> "kerf";
          case OFFCUT -> "keep";
          case TRIM, WASTE -> "waste";
        };
    html.raw("<rect class=\"" + kind + "\" x=\"" + from.toPlainString());
    html.raw("\" y=\"" + TOP + "\" width=\"" + width.toPlainString() + "\" height=\"" + HEIGHT);
    html.raw("\"/>\n");
  }

  private void label(Segment segment) {
    if (segment.kind() != Kind.PART && segment.kind() != Kind.OFFCUT) {
      return;
    }
    double from = x(segment.from()).doubleValue();
    double width = x(segment.from().plus(segment.length())).doubleValue() - from;
    double middle = from + width / 2;
    String length = unit.bare(segment.length());
    String name = segment.part() == null ? "keep" : segment.part().part();
    if (segment.kind() == Kind.OFFCUT) {
      double plate = Math.max(wide(length, LENGTH_SIZE), wide(name, NAME_SIZE)) + 10;
      if (plate > width - 4) {
        return;
      }
      html.raw(
          "<rect class=\"plate\" x=\""
              + place(middle - plate / 2)
              + "\" y=\""
              + (TOP + 4)
              + "\" width=\""
              + place(plate)
              + "\" height=\""
              + (HEIGHT - 8)
              + "\"/>\n");
    }
    if (wide(length, LENGTH_SIZE) <= width - 6) {
      boolean named = wide(name, NAME_SIZE) <= width - 6;
      if (named) {
        text("name", middle, TOP + 23, name);
      }
      text("length", middle, TOP + (named ? 45 : 35), length);
    } else if (UPRIGHT_SIZE + 1 <= width && wide(length, UPRIGHT_SIZE) <= HEIGHT - 4) {
      html.raw("<text class=\"upright\" transform=\"translate(" + place(middle + 5) + " ");
      html.raw(TOP + HEIGHT / 2 + ") rotate(-90)\">").text(length).raw("</text>\n");
    }
  }

  private void text(String kind, double x, int y, String text) {
    html.raw("<text class=\"" + kind + "\" x=\"" + place(x) + "\" y=\"" + y + "\">");
    html.text(text).raw("</text>\n");
  }

  private List<Mark> marks() {
    List<Mark> marks = new ArrayList<>();
    double[] free = new double[NUMBER_ROWS];
    Arrays.fill(free, 0);
    for (Run run : drawing.runs()) {
      BigDecimal from = x(run.from());
      BigDecimal to = x(run.to());
      double half = wide(run.numbers(), NUMBER_SIZE) / 2;
      double middle = (from.doubleValue() + to.doubleValue()) / 2;
      middle = Math.max(half, Math.min(WIDTH - half, middle));
      for (int row = 0; row < NUMBER_ROWS; row++) {
        if (middle - half >= free[row]) {
          free[row] = middle + half + 5;
          marks.add(new Mark(run.numbers(), from, to, middle, row));
          break;
        }
      }
    }
    return marks;
  }

  private void mark(Mark mark) {
    int line = BOTTOM + 6;
    int baseline = line + 2 + mark.row() * ROW_HEIGHT + 12;
    String from = mark.from().add(BigDecimal.ONE).toPlainString();
    String to = mark.to().subtract(BigDecimal.ONE).toPlainString();
    html.raw("<path class=\"brace\" d=\"M" + from + " " + (line - 3) + "V" + line + "H" + to);
    html.raw("V" + (line - 3));
    if (mark.row() > 0) {
      html.raw("M" + place(mark.middle()) + " " + line + "V" + (baseline - 11));
    }
    html.raw("\"/>\n");
    text("number", mark.middle(), baseline, mark.text());
  }

  private static double wide(String text, double size) {
    return text.codePointCount(0, text.length()) * size * CHARACTER;
  }

  private static String place(double x) {
    return BigDecimal.valueOf(x)
        .setScale(1, RoundingMode.HALF_UP)
        .stripTrailingZeros()
        .toPlainString();
  }
}
