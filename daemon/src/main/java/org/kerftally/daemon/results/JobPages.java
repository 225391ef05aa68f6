package org.kerftally.daemon.results;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.results.PlanJson.Rest;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;

/**
 * Writes the content of a job's files from its tally.
 *
 * <p>The saw's constants come from the plan itself wherever it tells them: what was planned with
 * yesterday's blade must not be redrawn with today's.
 */
final class JobPages {

  private final ResultsSite site;

  JobPages(ResultsSite site) {
    this.site = site;
  }

  /** Returns the content of one file as it is to be now. */
  byte[] content(JobTally tally, JobFile file) {
    String text =
        switch (file) {
          case PLAN -> plan(tally);
          case SHEET -> sheet(tally);
          case COUNTS -> ResultTables.counts(tally);
          case CUTS -> ResultTables.cuts(site.cuts().apply(tally.id()));
          case INCIDENTS -> ResultTables.incidents(tally);
        };
    return text.getBytes(UTF_8);
  }

  private String plan(JobTally tally) {
    CutPlan plan = tally.firstPlan();
    String reason = tally.replanReason();
    return PlanJson.pretty(
        PlanReport.of(tally.order().name(), tally.order().file(), plan, rules(tally, plan), null),
        reason == null ? null : new Rest(reason, tally.plan()));
  }

  private String sheet(JobTally tally) {
    Function<String, Length> kerf = material -> kerf(tally, tally.plan(), material);
    return Sheet.write(
        new Sheet.Content(
            tally.order(),
            tally.station(),
            tally.plan(),
            kerf,
            tally.takenAt(),
            site.zone(),
            notice(tally)));
  }

  private static @Nullable String notice(JobTally tally) {
    if (tally.status() == JobStatus.WITHDRAWN) {
      return "This job was withdrawn. Do not cut it.";
    }
    return tally.replanReason() == null
        ? null
        : "Plan "
            + (tally.replans() + 1)
            + " for the rest of the job, made because "
            + tally.replanReason()
            + ". Sheets printed before are void.";
  }

  private CutRules rules(JobTally tally, CutPlan plan) {
    String material = plan.sticks().isEmpty() ? "" : plan.sticks().get(0).material();
    CutRules now = site.rules().of(tally.station(), material);
    Length trim =
        plan.sticks().stream()
            .map(PlannedSticks::leadTrim)
            .filter(Length::isPositive)
            .findFirst()
            .orElse(now.leadTrim());
    return new CutRules(
        kerf(tally, plan, material), trim, now.tail(), now.minOffcut(), now.sliverCuts());
  }

  private Length kerf(JobTally tally, CutPlan plan, String material) {
    for (PlannedSticks sticks : plan.sticks()) {
      Length told = sticks.material().equals(material) ? StickDrawing.kerfTold(sticks) : null;
      if (told != null) {
        return told;
      }
    }
    return site.rules().of(tally.station(), material).kerf();
  }
}
