package org.kerftally.daemon.results;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.StreamWriteFeature;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import java.io.IOException;
import java.io.StringWriter;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutOrder;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.problem.Problem;

/**
 * Writes plans as JSON for programs.
 *
 * <pre>
 * {"job":"…","file":"…","status":"planned|short|refused","proven":true,"cost":12,"bound":12,
 *  "elapsed_ms":34,"kerf_mm":3.2,"lead_trim_mm":0,"tail_mm":0,
 *  "sticks":[{"material":"…","length_mm":2440,"kind":"new","label":null,"repeat":3,
 *             "cuts":[{"part":"…","length_mm":505}, …],"rest_mm":412.6,"offcut_mm":412.6}, …],
 *  "short":[{"part":"…","missing":2}, …],"problems":[{"line":7,"column":"…","message":"…"}, …]}
 * </pre>
 *
 * <p>Lengths are exact decimal millimetres, and no number is ever written with an exponent. {@code
 * elapsed_ms} is left out when it is not known. A refused job has no sticks and the cost 0. Where a
 * newer plan for the rest of a job is in force, {@code rest} holds its {@code reason}, {@code
 * sticks} and {@code short}. Of jobs planned together there is one object: in place of {@code job}
 * and {@code file} it lists them in {@code together}, each with its own {@code status}, and every
 * cut and shortage says whose it is in {@code job}. Thread-safe; no result depends on the locale.
 */
public final class PlanJson {

  private static final JsonFactory FACTORY =
      JsonFactory.builder().enable(StreamWriteFeature.WRITE_BIGDECIMAL_AS_PLAIN).build();

  private PlanJson() {}

  /** States the newer plan for the rest of a job. */
  record Rest(String reason, CutPlan plan) {}

  /** Writes one object in one line, without a line end. */
  public static String line(PlanReport report) {
    return write(report, null, false);
  }

  /** Writes one object in many lines for people to look into, with a line end. */
  public static String pretty(PlanReport report) {
    return pretty(report, null);
  }

  static String pretty(PlanReport report, @Nullable Rest rest) {
    return write(report, rest, true) + "\n";
  }

  /** Writes jobs planned together in one line, without a line end. */
  public static String line(JointReport joint) {
    StringWriter text = new StringWriter();
    try (JsonGenerator json = FACTORY.createGenerator(text)) {
      PlanReport report = joint.report();
      json.writeStartObject();
      json.writeArrayFieldStart("together");
      for (JointReport.Job job : joint.jobs()) {
        json.writeStartObject();
        json.writeStringField("job", job.name());
        json.writeStringField("file", job.file());
        json.writeStringField("status", joint.status(job).word());
        json.writeEndObject();
      }
      json.writeEndArray();
      writeHead(json, report);
      writeSticks(json, report.plan(), joint);
      writeShortages(json, report.plan(), joint);
      writeProblems(json, report);
      json.writeEndObject();
    } catch (IOException e) {
      throw new UncheckedIOException("a string cannot fail", e);
    }
    return text.toString();
  }

  private static String write(PlanReport report, @Nullable Rest rest, boolean pretty) {
    StringWriter text = new StringWriter();
    try (JsonGenerator json = FACTORY.createGenerator(text)) {
      if (pretty) {
        DefaultIndenter indenter = new DefaultIndenter("  ", "\n");
        json.setPrettyPrinter(
            new DefaultPrettyPrinter().withObjectIndenter(indenter).withArrayIndenter(indenter));
      }
      json.writeStartObject();
      json.writeStringField("job", report.job());
      json.writeStringField("file", report.file());
      writeHead(json, report);
      CutPlan plan = report.plan();
      writeSticks(json, plan, null);
      writeShortages(json, plan, null);
      writeProblems(json, report);
      if (plan != null && plan.figures() != null) {
        FiguresJson.write(json, plan.figures());
      }
      if (rest != null) {
        json.writeObjectFieldStart("rest");
        json.writeStringField("reason", rest.reason());
        writeSticks(json, rest.plan(), null);
        writeShortages(json, rest.plan(), null);
        json.writeEndObject();
      }
      json.writeEndObject();
    } catch (IOException e) {
      throw new UncheckedIOException("a string cannot fail", e);
    }
    return text.toString();
  }

  private static void writeHead(JsonGenerator json, PlanReport report) throws IOException {
    CutPlan plan = report.plan();
    json.writeStringField("status", report.status().word());
    json.writeBooleanField("proven", plan != null && plan.proven());
    writeNumber(json, "cost", plan == null ? BigDecimal.ZERO : plan.cost());
    writeNumber(json, "bound", plan == null ? BigDecimal.ZERO : plan.bound());
    if (report.elapsedMillis() != null) {
      json.writeNumberField("elapsed_ms", report.elapsedMillis().longValue());
    }
    writeLength(json, "kerf_mm", report.rules().kerf());
    writeLength(json, "lead_trim_mm", report.rules().leadTrim());
    writeLength(json, "tail_mm", report.rules().tail());
  }

  private static void writeSticks(
      JsonGenerator json, @Nullable CutPlan plan, @Nullable JointReport joint) throws IOException {
    json.writeArrayFieldStart("sticks");
    if (plan != null) {
      for (PlannedSticks sticks : plan.sticks()) {
        writeSticks(json, sticks, joint);
      }
    }
    json.writeEndArray();
  }

  private static void writeSticks(
      JsonGenerator json, PlannedSticks sticks, @Nullable JointReport joint) throws IOException {
    json.writeStartObject();
    json.writeStringField("material", sticks.material());
    writeLength(json, "length_mm", sticks.length());
    json.writeStringField("kind", sticks.kind().word());
    json.writeStringField("label", sticks.label());
    json.writeNumberField("repeat", sticks.repeat());
    if (sticks.cutOrder() == CutOrder.TURNING) {
      json.writeBooleanField("turning", true);
    }
    json.writeArrayFieldStart("cuts");
    for (Cut cut : sticks.cuts()) {
      json.writeStartObject();
      writePart(json, cut.part(), joint);
      writeLength(json, "length_mm", cut.length());
      json.writeEndObject();
    }
    json.writeEndArray();
    writeLength(json, "rest_mm", sticks.rest());
    writeLength(json, "offcut_mm", sticks.offcut());
    json.writeEndObject();
  }

  private static void writePart(JsonGenerator json, String part, @Nullable JointReport joint)
      throws IOException {
    if (joint != null) {
      json.writeStringField("job", joint.jobOf(part));
    }
    json.writeStringField("part", joint == null ? part : joint.nameOf(part));
  }

  private static void writeShortages(
      JsonGenerator json, @Nullable CutPlan plan, @Nullable JointReport joint) throws IOException {
    json.writeArrayFieldStart("short");
    if (plan != null) {
      for (Shortage shortage : plan.shortages()) {
        json.writeStartObject();
        writePart(json, shortage.part(), joint);
        json.writeNumberField("missing", shortage.missing());
        json.writeEndObject();
      }
    }
    json.writeEndArray();
  }

  private static void writeProblems(JsonGenerator json, PlanReport report) throws IOException {
    json.writeArrayFieldStart("problems");
    for (Problem problem : report.problems()) {
      json.writeStartObject();
      if (problem.file() != null) {
        json.writeStringField("file", problem.file());
      }
      json.writeNumberField("line", problem.line());
      json.writeStringField("column", problem.column());
      json.writeStringField("message", problem.message());
      if (problem.hint() != null) {
        json.writeStringField("hint", problem.hint());
      }
      json.writeEndObject();
    }
    json.writeEndArray();
  }

  private static void writeLength(JsonGenerator json, String field, @Nullable Length length)
      throws IOException {
    if (length == null) {
      json.writeNullField(field);
    } else {
      json.writeNumberField(field, length.toMm());
    }
  }

  private static void writeNumber(JsonGenerator json, String field, BigDecimal number)
      throws IOException {
    BigDecimal stripped = number.signum() == 0 ? BigDecimal.ZERO : number.stripTrailingZeros();
    json.writeNumberField(field, stripped.scale() < 0 ? stripped.setScale(0) : stripped);
  }
}
