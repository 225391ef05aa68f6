package org.kerftally.daemon.board;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import org.kerftally.daemon.results.JobTally;
import org.kerftally.daemon.results.PartCount;
import org.kerftally.daemon.results.StickUse;
import org.kerftally.shared.length.LengthText;

/** Writes one job as JSON. */
final class JobJson {

  private JobJson() {}

  /** Writes the job's figures without its parts. */
  static void write(ObjectNode node, JobTally job) {
    node.put("id", job.id());
    node.put("name", job.order().name());
    node.put("file", job.order().file());
    node.put("station", job.station());
    node.put("status", job.status().word());
    node.put("due", job.order().due() == null ? null : job.order().due().toString());
    node.put("priority", job.order().priority());
    node.put("unit", job.order().unit().symbol());
    node.put("taken_at", Json.time(job.takenAt()));
    node.put("started_at", Json.time(job.startedAt()));
    node.put("ended_at", Json.time(job.endedAt()));
    node.put("wanted", job.wanted());
    node.put("made", job.made());
    node.put("rejected", job.rejected());
    node.put("short", job.missing());
    sticks(node, job);
    node.put("proven", job.firstPlan().proven());
    node.put("replans", job.replans());
    node.put("replan_reason", job.replanReason());
    node.put("suspects", job.incidents().suspects());
    node.put("unattributed", job.incidents().unattributed());
    node.put("faults", job.incidents().faultCount());
  }

  /** Writes the job's lines, as many as are allowed, and how many were left out. */
  static void writeParts(ObjectNode node, JobTally job, int maxParts) {
    List<PartCount> parts = job.parts();
    int shown = Math.min(parts.size(), maxParts);
    ArrayNode list = node.putArray("parts");
    for (PartCount count : parts.subList(0, shown)) {
      ObjectNode line = list.addObject();
      line.put("part", count.part().name());
      line.put("material", count.part().material());
      line.put("length_mm", count.part().length().toMm());
      line.put("length_text", LengthText.write(count.part().length(), job.order().unit()));
      line.put("wanted", count.wanted());
      line.put("made", count.made());
      line.put("rejected", count.rejected());
      line.put("short", count.missing());
      line.put("note", count.part().note());
    }
    node.put("parts_left_out", parts.size() - shown);
  }

  private static void sticks(ObjectNode node, JobTally job) {
    StickUse use = job.sticks();
    boolean used = use.used().isPositive();
    node.put("yield", used ? use.yieldShare() : null);
    node.put("sticks_planned", job.firstPlan().stickCount());
    node.put("sticks_loaded", use.loaded());
    node.put("used_mm", use.used().toMm());
    node.put("good_mm", use.good().toMm());
    node.put("kept_mm", use.kept().toMm());
    node.put("waste_mm", use.waste().toMm());
  }
}
