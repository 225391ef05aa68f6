package org.kerftally.daemon.intake;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.List;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.problem.Problem;

/** Reads job files given as text, and says which outcome a test expects. */
final class Reading {

  private Reading() {}

  static JobReading read(String name, String text, ShopFacts facts) {
    return JobFileReader.read(text.getBytes(StandardCharsets.UTF_8), name, facts, id -> false);
  }

  static JobOrder good(JobReading reading) {
    assertThat(reading).isInstanceOf(JobReading.Good.class);
    return ((JobReading.Good) reading).order();
  }

  static List<Problem> bad(JobReading reading) {
    assertThat(reading).isInstanceOf(JobReading.Bad.class);
    List<Problem> problems = ((JobReading.Bad) reading).problems();
    assertThat(problems).isNotEmpty();
    return problems;
  }

  static JobOrder goodCsv(String text) {
    return good(read("supers.csv", text, Facts.shop()));
  }

  /** Returns {@code line:column} of each problem. */
  static List<String> placesCsv(String text) {
    return places(bad(read("supers.csv", text, Facts.shop())));
  }

  static List<String> places(List<Problem> problems) {
    return problems.stream().map(problem -> problem.line() + ":" + problem.column()).toList();
  }

  /** Returns the only problem of a CSV file. */
  static Problem problemCsv(String text) {
    List<Problem> problems = bad(read("supers.csv", text, Facts.shop()));
    assertThat(problems).hasSize(1);
    return problems.get(0);
  }
}
