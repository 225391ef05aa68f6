package org.kerftally.daemon.cli;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.kerftally.daemon.conformance.StepResult;
import org.kerftally.daemon.conformance.StepResult.Verdict;

/** Sets the results of the steps out, for people and for programs. */
final class ConformTable {

  private static final ObjectMapper JSON = new ObjectMapper();

  private ConformTable() {}

  /** Returns a line for each step, then what stays unproven. */
  static List<String> lines(List<StepResult> results) {
    List<String> lines = new ArrayList<>();
    lines.add(String.format("%-10s  %-17s  %s", "result", "step", "expected / seen"));
    for (StepResult result : results) {
      lines.add(
          String.format(
              "%-10s  %-17s  %s",
              result.verdict().word(), result.step().id(), result.step().expected()));
      lines.add(String.format("%-10s  %-17s  - %s", "", "", result.seen()));
    }
    List<StepResult> open =
        results.stream().filter(r -> r.verdict() == Verdict.NOT_TESTED).toList();
    if (!open.isEmpty()) {
      lines.add("");
      lines.add("Not tested, so unproven:");
      open.forEach(r -> lines.add("  " + r.step().id() + ": " + r.step().guarantee()));
    }
    lines.add("");
    lines.add(
        count(results, Verdict.PASS)
            + " passed, "
            + count(results, Verdict.FAIL)
            + " failed, "
            + open.size()
            + " not tested.");
    return lines;
  }

  private static long count(List<StepResult> results, Verdict verdict) {
    return results.stream().filter(r -> r.verdict() == verdict).count();
  }

  /** Returns the same as one JSON object. */
  static String json(String station, List<StepResult> results) {
    ObjectNode root = JSON.createObjectNode();
    root.put("station", station);
    root.put("passed", count(results, Verdict.PASS));
    root.put("failed", count(results, Verdict.FAIL));
    root.put("not_tested", count(results, Verdict.NOT_TESTED));
    ArrayNode steps = root.putArray("steps");
    for (StepResult result : results) {
      ObjectNode step = steps.addObject();
      step.put("id", result.step().id());
      step.put("result", result.verdict().word().toLowerCase(Locale.ROOT).replace(' ', '-'));
      step.put("expected", result.step().expected());
      step.put("seen", result.seen());
      step.put("guarantee", result.step().guarantee());
    }
    return root.toString();
  }
}
