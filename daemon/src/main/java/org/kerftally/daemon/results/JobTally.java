package org.kerftally.daemon.results;

import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.plan.CutPlan;

/**
 * Says how far one job is: what is planned, made, rejected and missing, what it took, and what went
 * wrong meanwhile. A value: a new event makes a new tally.
 *
 * @param order the job order
 * @param station the station that cuts it
 * @param status how far it is
 * @param firstPlan the plan of the whole job, as it was taken
 * @param plan the plan in force: the first, or the newest for the rest
 * @param replans how many plans replaced the first
 * @param replanReason why the newest did, or {@code null} for none
 * @param parts the counts, line by line in the order of the job
 * @param sticks what it took from the rack and what became of it
 * @param incidents what went wrong at its station while it was being cut
 * @param takenAt when it was taken, UTC
 * @param startedAt when it was started first, or {@code null}
 * @param endedAt when it ended or was withdrawn, or {@code null}
 * @param lastMade the index of the line whose piece was made last, or -1
 */
public record JobTally(
    JobOrder order,
    String station,
    JobStatus status,
    CutPlan firstPlan,
    CutPlan plan,
    int replans,
    @Nullable String replanReason,
    List<PartCount> parts,
    StickUse sticks,
    Incidents incidents,
    Instant takenAt,
    @Nullable Instant startedAt,
    @Nullable Instant endedAt,
    int lastMade) {

  /** Copies the list. */
  public JobTally {
    parts = List.copyOf(parts);
  }

  /** Returns the job's id. */
  public String id() {
    return order.id();
  }

  /** Returns how many pieces are wanted, over all lines. */
  public int wanted() {
    return parts.stream().mapToInt(PartCount::wanted).sum();
  }

  /** Returns how many good pieces were made, over all lines. */
  public int made() {
    return parts.stream().mapToInt(PartCount::made).sum();
  }

  /** Returns how many pieces were rejected, over all lines. */
  public int rejected() {
    return parts.stream().mapToInt(PartCount::rejected).sum();
  }

  /** Returns how many pieces cannot be made as far as is known now, over all lines. */
  public int missing() {
    return parts.stream().mapToInt(PartCount::missing).sum();
  }

  JobTally with(List<PartCount> newParts, StickUse newSticks, int newLastMade) {
    return new JobTally(
        order,
        station,
        status,
        firstPlan,
        plan,
        replans,
        replanReason,
        newParts,
        newSticks,
        incidents,
        takenAt,
        startedAt,
        endedAt,
        newLastMade);
  }

  JobTally with(StickUse newSticks) {
    return with(parts, newSticks, lastMade);
  }

  JobTally with(List<PartCount> newParts) {
    return with(newParts, sticks, lastMade);
  }

  JobTally with(Incidents newIncidents) {
    return new JobTally(
        order,
        station,
        status,
        firstPlan,
        plan,
        replans,
        replanReason,
        parts,
        sticks,
        newIncidents,
        takenAt,
        startedAt,
        endedAt,
        lastMade);
  }

  JobTally with(JobStatus newStatus, @Nullable Instant started, @Nullable Instant ended) {
    return new JobTally(
        order,
        station,
        newStatus,
        firstPlan,
        plan,
        replans,
        replanReason,
        parts,
        sticks,
        incidents,
        takenAt,
        started,
        ended,
        lastMade);
  }

  JobTally queuedAt(String newStation, CutPlan newPlan) {
    return new JobTally(
        order,
        newStation,
        status,
        newPlan,
        newPlan,
        replans,
        replanReason,
        parts,
        sticks,
        incidents,
        takenAt,
        startedAt,
        endedAt,
        lastMade);
  }

  JobTally replanned(CutPlan newPlan, String reason) {
    return new JobTally(
        order,
        station,
        status,
        firstPlan,
        newPlan,
        replans + 1,
        reason,
        parts,
        sticks,
        incidents,
        takenAt,
        startedAt,
        endedAt,
        lastMade);
  }
}
