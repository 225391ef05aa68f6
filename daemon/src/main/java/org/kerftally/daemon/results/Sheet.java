package org.kerftally.daemon.results;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.LinkedHashSet;
import java.util.Locale;
import java.util.Objects;
import java.util.Set;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;

/**
 * Writes the sheet of a job: one page of HTML that is complete in itself, to print and take to the
 * saw.
 *
 * <p>It needs nothing from outside, runs no script and forbids itself both. It is black on white
 * throughout and tells things apart by hatching and words, so that any printer will do. It leaves
 * the paper's size to the printer (A4 and Letter both fit) and breaks pages between sticks only.
 * Everything from a job or stock file is escaped. Thread-safe; no result depends on the locale.
 */
public final class Sheet {

  private static final DateTimeFormatter MINUTE =
      DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm", Locale.ROOT);
  private static final String STYLE = resource("sheet.css");
  private static final String CAUTION =
      "This sheet is no safety instruction and Kerftally is no safety function. Follow the"
          + " manufacturer’s manual, the rules that apply where you work, and your training. Check"
          + " the first piece of every setting with a measure before you cut more.";

  private Sheet() {}

  /**
   * Holds what a sheet tells.
   *
   * @param order the job order
   * @param station the station that cuts it, or {@code null} when that is open
   * @param plan what is to be cut
   * @param kerf tells the kerf in a material
   * @param plannedAt when it was planned
   * @param zone the time zone of the workshop
   * @param notice something the reader must know first, or {@code null}
   */
  public record Content(
      JobOrder order,
      @Nullable String station,
      CutPlan plan,
      Function<String, Length> kerf,
      Instant plannedAt,
      ZoneId zone,
      @Nullable String notice) {}

  /** Writes a sheet. */
  public static String write(Content content) {
    Html html = new Html();
    html.raw("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n")
        .raw("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; ")
        .raw("style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n")
        .raw("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n")
        .raw("<meta name=\"color-scheme\" content=\"light\">\n<title>")
        .text(content.order().name())
        .raw(" – cutting sheet</title>\n<style>\n")
        .raw(STYLE)
        .raw("</style>\n</head>\n<body>\n")
        .raw(SheetBar.HATCHES);
    head(html, content);
    totals(html, content);
    warnings(html, content);
    parts(html, content.order());
    legend(html);
    new SheetSticks(html, content).write();
    html.raw("<footer><p>").text(CAUTION).raw("</p></footer>\n</body>\n</html>\n");
    return html.toString();
  }

  private static void head(Html html, Content content) {
    JobOrder order = content.order();
    html.raw("<header>\n<div><p class=\"kind\">Cutting sheet</p><h1>")
        .text(order.name())
        .raw("</h1></div>\n<p class=\"due\"><span>Due</span> <b>")
        .text(order.due() == null ? "open" : order.due().toString())
        .raw("</b></p>\n</header>\n<dl class=\"facts\">\n");
    fact(html, "Station", content.station() == null ? "any" : content.station());
    fact(html, "Job", order.id());
    fact(html, "File", order.file());
    fact(html, "Lengths in", order.unit().symbol());
    fact(html, "Kerf", kerfs(content));
    fact(html, "Planned", MINUTE.format(content.plannedAt().atZone(content.zone())));
    html.raw("</dl>\n");
  }

  private static void fact(Html html, String name, String value) {
    html.raw("<div><dt>").text(name).raw("</dt><dd>").text(value).raw("</dd></div>\n");
  }

  /** The kerf, by material where materials differ. */
  private static String kerfs(Content content) {
    UnitText unit = new UnitText(content.order().unit());
    Set<String> materials = new LinkedHashSet<>();
    Set<Length> kerfs = new LinkedHashSet<>();
    for (PlannedSticks sticks : content.plan().sticks()) {
      materials.add(sticks.material());
      kerfs.add(content.kerf().apply(sticks.material()));
    }
    if (kerfs.size() == 1) {
      return unit.full(kerfs.iterator().next());
    }
    StringBuilder text = new StringBuilder();
    for (String material : materials) {
      text.append(text.length() == 0 ? "" : ", ")
          .append(unit.full(content.kerf().apply(material)))
          .append(" in ")
          .append(material);
    }
    return text.length() == 0 ? "–" : text.toString();
  }

  private static void totals(Html html, Content content) {
    PlanFigures figures = PlanFigures.of(content.plan());
    UnitText unit = new UnitText(content.order().unit());
    html.raw("<ul class=\"totals\">\n");
    total(html, String.valueOf(figures.sticks()), "sticks", unit.sum(figures.stickLength()));
    total(html, String.valueOf(figures.pieces()), "pieces", unit.sum(figures.partLength()));
    total(html, figures.yieldText(), "yield", "of the sticks’ length");
    total(html, figures.wasteText(), "waste", unit.sum(figures.waste()));
    total(
        html,
        String.valueOf(figures.offcuts()),
        "offcuts to keep",
        unit.sum(figures.offcutLength()));
    html.raw("</ul>\n<p class=\"cost\">").text(PlanFigures.costText(content.plan())).raw("</p>\n");
    if (content.plan().figures() != null) {
      String words = String.join(", ", FigureWords.of(content.plan().figures(), unit));
      html.raw("<p class=\"cost\">").text(words).raw("</p>\n");
    }
  }

  private static void total(Html html, String figure, String name, String detail) {
    html.raw("<li><b>").text(figure).raw("</b> ").text(name).raw(" <span>").text(detail);
    html.raw("</span></li>\n");
  }

  private static void warnings(Html html, Content content) {
    if (content.notice() != null) {
      html.raw("<div class=\"warning\"><p>").text(content.notice()).raw("</p></div>\n");
    }
    if (content.plan().shortages().isEmpty()) {
      return;
    }
    UnitText unit = new UnitText(content.order().unit());
    html.raw("<div class=\"warning\"><h2>Short of stock</h2>\n")
        .raw("<p>These pieces cannot be made from the stock there is:</p>\n<ul>\n");
    for (Shortage shortage : content.plan().shortages()) {
      html.raw("<li><b>").number(shortage.missing()).raw("</b> × ").text(shortage.part()).raw(", ");
      html.text(unit.full(shortage.length()));
      if (!shortage.material().isEmpty()) {
        html.raw(", ").text(shortage.material());
      }
      html.raw("</li>\n");
    }
    html.raw("</ul></div>\n");
  }

  private static void parts(Html html, JobOrder order) {
    UnitText unit = new UnitText(order.unit());
    boolean notes = order.parts().stream().anyMatch(p -> p.note() != null);
    html.raw("<h2>Parts</h2>\n<table class=\"parts\">\n<thead><tr><th class=\"n\">Pieces</th>")
        .raw("<th>Part</th><th class=\"n\">Length</th><th>Material</th>")
        .raw(notes ? "<th>Note</th>" : "")
        .raw("</tr></thead>\n<tbody>\n");
    for (Part part : order.parts()) {
      html.raw("<tr><td class=\"n\">").number(part.quantity()).raw("</td><td>").text(part.name());
      html.raw("</td><td class=\"n\">").text(unit.full(part.length())).raw("</td><td>");
      html.text(part.material()).raw("</td>");
      if (notes) {
        html.raw("<td>").text(part.note()).raw("</td>");
      }
      html.raw("</tr>\n");
    }
    html.raw("</tbody>\n</table>\n");
  }

  private static void legend(Html html) {
    html.raw("<h2>Sticks</h2>\n<p class=\"legend\">");
    for (SheetBar.Sample sample : SheetBar.Sample.values()) {
      html.raw("<span>").raw(sample.svg()).text(sample.word()).raw("</span> ");
    }
    html.raw("<span>Each bar is to scale in itself, cut from left to right.</span></p>\n");
  }

  private static String resource(String name) {
    try (InputStream in = Objects.requireNonNull(Sheet.class.getResourceAsStream(name), name)) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException("cannot read " + name + " of the program itself", e);
    }
  }
}
