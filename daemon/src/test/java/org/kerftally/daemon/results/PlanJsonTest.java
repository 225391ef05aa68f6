package org.kerftally.daemon.results;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.results.Jobs.RULES;
import static org.kerftally.daemon.results.Jobs.cut;
import static org.kerftally.daemon.results.Jobs.sticks;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.IOException;
import java.math.BigDecimal;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.problem.Problem;
import org.kerftally.shared.stock.StickKind;

class PlanJsonTest {

  private static final PlannedSticks STICKS =
      new PlannedSticks(
          "pine",
          Length.ofMm(2440),
          StickKind.NEW,
          null,
          BigDecimal.ONE,
          3,
          Length.ZERO,
          List.of(cut("super side", 505), new Cut("lath", Length.ofNm(396_875))),
          Length.ofNm(1_928_203_125),
          Length.ofNm(1_928_203_125));
  private static final CutRules NO_TRIM =
      new CutRules(RULES.kerf(), Length.ZERO, Length.ZERO, RULES.minOffcut(), true);

  @Test
  void writesTheContractInOneLine() {
    CutPlan plan =
        new CutPlan(
            List.of(STICKS),
            List.of(new Shortage("end", "pine", Length.ofMm(413), 2)),
            new BigDecimal("3.00"),
            new BigDecimal("2.50"),
            false);
    assertThat(PlanJson.line(PlanReport.of("Supers", "supers.csv", plan, NO_TRIM, 34L)))
        .isEqualTo(
            "{\"job\":\"Supers\",\"file\":\"supers.csv\",\"status\":\"short\",\"proven\":false,"
                + "\"cost\":3,\"bound\":2.5,\"elapsed_ms\":34,\"kerf_mm\":3.2,\"lead_trim_mm\":0,"
                + "\"tail_mm\":0,\"sticks\":[{\"material\":\"pine\",\"length_mm\":2440,"
                + "\"kind\":\"new\",\"label\":null,\"repeat\":3,\"cuts\":[{\"part\":\"super side\","
                + "\"length_mm\":505},{\"part\":\"lath\",\"length_mm\":0.396875}],"
                + "\"rest_mm\":1928.203125,\"offcut_mm\":1928.203125}],"
                + "\"short\":[{\"part\":\"end\",\"missing\":2}],\"problems\":[]}");
  }

  @Test
  void aRefusedFileHasNoSticksAndNamesItsProblems() throws IOException {
    Problem problem = new Problem("a.csv", 7, "length", "found \"x\", expected a length", "Mend.");
    JsonNode json = parse(PlanJson.line(PlanReport.refused("a", "a.csv", RULES, List.of(problem))));
    assertThat(json.get("status").textValue()).isEqualTo("refused");
    assertThat(json.get("proven").booleanValue()).isFalse();
    assertThat(json.get("sticks")).isEmpty();
    assertThat(json.get("cost").intValue()).isZero();
    assertThat(json.has("elapsed_ms")).isFalse();
    JsonNode first = json.get("problems").get(0);
    assertThat(first.get("line").intValue()).isEqualTo(7);
    assertThat(first.get("column").textValue()).isEqualTo("length");
    assertThat(first.get("message").textValue()).contains("expected a length");
  }

  @Test
  void noNumberHasAnExponentOrIsRounded() throws IOException {
    PlannedSticks huge =
        new PlannedSticks(
            "pine",
            Length.ofNm(100_000_000_000_001L),
            StickKind.OFFCUT,
            "saw1-7",
            new BigDecimal("1E+7"),
            1,
            Length.ofNm(1),
            List.of(new Cut("long", Length.ofMm(100_000))),
            Length.ZERO,
            null);
    CutPlan plan =
        new CutPlan(
            List.of(huge), List.of(), new BigDecimal("1E+7"), new BigDecimal("0E-9"), false);
    String line = PlanJson.line(PlanReport.of("x", "x.csv", plan, RULES, 0L));
    assertThat(line)
        .contains("\"cost\":10000000,")
        .contains("\"bound\":0,")
        .contains("\"length_mm\":100000000.000001,")
        .contains("\"rest_mm\":0,\"offcut_mm\":null")
        .contains("\"kind\":\"offcut\",\"label\":\"saw1-7\"")
        .doesNotContainPattern("[0-9]E[+-]?[0-9]");
    assertThat(parse(line).get("sticks")).hasSize(1);
  }

  @Test
  void textFromOutsideStaysText() throws IOException {
    String name = "a\"},{\"\\ \n\u2028é";
    String line = PlanJson.line(PlanReport.of(name, "x", Jobs.plan(STICKS), RULES, 1L));
    assertThat(line.lines()).hasSize(1);
    assertThat(parse(line).get("job").textValue()).isEqualTo(name);
  }

  @Test
  void theDefaultLocaleChangesNothing() {
    Locale before = Locale.getDefault();
    PlanReport report = PlanReport.of("x", "x", Jobs.plan(STICKS), RULES, 1234567L);
    String expected = PlanJson.line(report);
    try {
      for (String tag : List.of("tr-TR", "de-DE", "ar-EG", "hi-IN-u-nu-deva")) {
        Locale.setDefault(Locale.forLanguageTag(tag));
        assertThat(PlanJson.line(report)).isEqualTo(expected);
      }
    } finally {
      Locale.setDefault(before);
    }
  }

  @Test
  void thePrettyFormHoldsTheSameAndTheNewerPlanForTheRest() throws IOException {
    PlanReport report = PlanReport.of("x", "x", Jobs.plan(STICKS), RULES, 1L);
    assertThat(parse(PlanJson.pretty(report))).isEqualTo(parse(PlanJson.line(report)));
    assertThat(PlanJson.pretty(report)).endsWith("}\n").contains("\n  \"sticks\" : [");
    CutPlan rest = Jobs.plan(sticks(1, 2440, cut("super side", 505)));
    JsonNode json = parse(PlanJson.pretty(report, new PlanJson.Rest("a piece was rejected", rest)));
    assertThat(json.get("rest").get("reason").textValue()).isEqualTo("a piece was rejected");
    assertThat(json.get("rest").get("sticks").get(0).get("rest_mm").decimalValue())
        .isEqualByComparingTo("1921.8");
  }

  /** What an independent reader of the contract recomputes: every stick adds up exactly. */
  @Test
  void everyStickAddsUpFromTheNumbersWritten() throws IOException {
    JsonNode json =
        parse(
            PlanJson.line(
                PlanReport.of("g", "g", Samples.greenhouse().plan(), Samples.INCH_RULES, 1L)));
    BigDecimal kerf = json.get("kerf_mm").decimalValue();
    assertThat(kerf).isEqualByComparingTo("3.175");
    for (JsonNode stick : json.get("sticks")) {
      BigDecimal left =
          stick.get("length_mm").decimalValue().subtract(json.get("lead_trim_mm").decimalValue());
      for (JsonNode one : stick.get("cuts")) {
        left = left.subtract(one.get("length_mm").decimalValue()).subtract(kerf);
      }
      assertThat(stick.get("rest_mm").decimalValue()).isEqualByComparingTo(left);
    }
  }

  private static JsonNode parse(String text) throws IOException {
    return JsonMapper.builder()
        .enable(com.fasterxml.jackson.databind.DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
        .build()
        .readTree(text);
  }
}
