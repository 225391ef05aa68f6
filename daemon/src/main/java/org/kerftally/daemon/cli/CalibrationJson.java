package org.kerftally.daemon.cli;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.OptionalInt;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.calibration.Certainty;
import org.kerftally.daemon.calibration.Findings;
import org.kerftally.daemon.calibration.LackOfFit;
import org.kerftally.daemon.calibration.LineFit;
import org.kerftally.daemon.calibration.Proposal;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Corrections;
import org.kerftally.shared.geometry.MeasuredPiece;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.problem.Problem;

/**
 * Writes findings for programs: one object on one line, lengths in millimetres, statistics in the
 * full precision of a double, {@code null} for what two pieces cannot tell.
 */
final class CalibrationJson {

  private static final JsonMapper MAPPER =
      JsonMapper.builder().enable(JsonGenerator.Feature.WRITE_BIGDECIMAL_AS_PLAIN).build();

  private CalibrationJson() {}

  static String findings(
      String file, @Nullable String station, Findings findings, @Nullable Length tolerance) {
    ObjectNode json = MAPPER.createObjectNode();
    LineFit fit = findings.fit();
    Certainty certainty = findings.certainty();
    LineFit.Scatter scatter = certainty == null ? null : certainty.scatter();
    json.put("file", file);
    json.put("n", fit.pieces());
    json.put("degrees_of_freedom", fit.degreesOfFreedom());
    json.put("offset_mm", fit.offsetMm());
    json.put("offset_se_mm", scatter == null ? null : scatter.offsetSeMm());
    json.put("offset_differs_from_0", certainty == null ? null : certainty.offsetDiffersFromZero());
    json.put("scale", fit.scale());
    json.put("scale_se", scatter == null ? null : scatter.scaleSe());
    json.put("scale_differs_from_1", certainty == null ? null : certainty.scaleDiffersFromOne());
    json.put("residual_sd_mm", scatter == null ? null : scatter.residualSdMm());
    json.put("r_squared", fit.rSquared());
    LackOfFit lack = findings.lack();
    json.put("lack_of_fit_f", lack == null ? null : lack.f());
    json.put("lack_of_fit_p", lack == null ? null : lack.probability());
    json.put("line_is_enough", lack == null ? null : !lack.isSignificant());
    ArrayNode outliers = json.putArray("outliers");
    findings.outliers().stream().map(MeasuredPiece::line).forEach(outliers::add);
    json.put("outliers_left_out", findings.leftOut());
    json.put("worst_target_mm", certainty == null ? null : certainty.worstTarget().toMm());
    json.put("half_width_mm", certainty == null ? null : certainty.halfWidthMm());
    json.put("tolerance_mm", tolerance == null ? null : tolerance.toMm());
    json.put("more_pieces", morePieces(certainty, tolerance));
    json.put("station", station);
    calibration(json.putObject("cut_with"), findings.present());
    Proposal proposal = findings.proposal();
    Corrections table = proposal.corrections();
    calibration(
        json.putObject("config"),
        new Calibration(
            proposal.offset(),
            proposal.scale(),
            findings.present().resolution(),
            table == null ? Corrections.NONE : table));
    json.putArray("problems");
    return line(json);
  }

  /** Writes that a file tells nothing. */
  static String problems(String file, List<Problem> problems) {
    ObjectNode json = MAPPER.createObjectNode();
    json.put("file", file);
    ArrayNode all = json.putArray("problems");
    for (Problem problem : problems) {
      ObjectNode one = all.addObject();
      one.put("line", problem.line());
      one.put("column", problem.column());
      String hint = problem.hint();
      one.put("message", problem.message() + (hint == null ? "" : ". " + hint));
    }
    return line(json);
  }

  private static void calibration(ObjectNode json, Calibration calibration) {
    json.put("offset_mm", calibration.offset().toMm());
    json.put("scale", calibration.scale());
    ArrayNode corrections = json.putArray("corrections");
    for (Corrections.Point point : calibration.corrections().points()) {
      corrections.addObject().put("at_mm", point.at().toMm()).put("add_mm", point.add().toMm());
    }
  }

  private static @Nullable Integer morePieces(
      @Nullable Certainty certainty, @Nullable Length tolerance) {
    if (certainty == null || tolerance == null) {
      return null;
    }
    OptionalInt more = certainty.morePieces(tolerance);
    return more.isPresent() ? more.getAsInt() : null;
  }

  private static String line(ObjectNode json) {
    try {
      return MAPPER.writeValueAsString(json);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a tree of plain values cannot be written", e);
    }
  }
}
