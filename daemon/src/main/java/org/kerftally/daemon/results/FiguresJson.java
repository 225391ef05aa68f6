package org.kerftally.daemon.results;

import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.math.BigDecimal;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Figure;
import org.kerftally.shared.plan.Figures;

/** Writes what a plan achieves beyond cost, each figure with its bound and whether they meet. */
final class FiguresJson {

  private static final int MILLI = 3;

  private FiguresJson() {}

  static void write(JsonGenerator json, Figures figures) throws IOException {
    json.writeObjectFieldStart("figures");
    json.writeBooleanField("shortage_proven", figures.mostMade());
    write(json, "sticks_handled", figures.sticks());
    write(
        json,
        "offcut_value",
        figures.offcutValue(),
        figures.offcutValueBound(),
        figures.offcutValueProven());
    write(
        json,
        "longest_offcut_mm",
        figures.longestOffcut().toMm(),
        figures.longestOffcutBound().toMm(),
        figures.longestOffcutProven());
    write(json, "patterns", figures.patterns());
    write(json, "open_parts", figures.openParts());
    if (figures.openLimit() == null) {
      json.writeNullField("open_parts_limit");
    } else {
      json.writeNumberField("open_parts_limit", figures.openLimit());
    }
    write(json, "stop_moves", figures.stopMoves());
    json.writeObjectFieldStart("stop_travel_s");
    json.writeNumberField("value", BigDecimal.valueOf(figures.stopTravelMillis(), MILLI));
    json.writeBooleanField("proven", figures.stopTravelProven());
    json.writeEndObject();
    length(json, "stock_mm", figures.stockLength());
    length(json, "parts_mm", figures.partLength());
    length(json, "kerf_mm", figures.kerfLength());
    length(json, "lead_trim_mm", figures.trimLength());
    length(json, "waste_mm", figures.wasteLength());
    length(json, "offcuts_mm", figures.offcutLength());
    json.writeNumberField("yield", figures.yieldShare());
    json.writeEndObject();
  }

  private static void write(JsonGenerator json, String name, Figure figure) throws IOException {
    json.writeObjectFieldStart(name);
    json.writeNumberField("value", figure.value());
    json.writeNumberField("bound", figure.bound());
    json.writeBooleanField("proven", figure.proven());
    json.writeEndObject();
  }

  private static void write(
      JsonGenerator json, String name, BigDecimal value, BigDecimal bound, boolean proven)
      throws IOException {
    json.writeObjectFieldStart(name);
    json.writeNumberField("value", value);
    json.writeNumberField("bound", bound);
    json.writeBooleanField("proven", proven);
    json.writeEndObject();
  }

  private static void length(JsonGenerator json, String name, Length length) throws IOException {
    json.writeNumberField(name, length.toMm());
  }
}
