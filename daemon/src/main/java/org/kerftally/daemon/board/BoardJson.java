package org.kerftally.daemon.board;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.kerftally.daemon.intake.folder.InboxState;
import org.kerftally.daemon.intake.folder.StockState;
import org.kerftally.daemon.results.JobTally;
import org.kerftally.daemon.service.StationView;
import org.kerftally.shared.problem.Problem;

/**
 * Writes what the board serves as JSON.
 *
 * <pre>
 * /api/stations  {"at", "version", "stations": [station]}
 * /api/jobs      {"at", "version", "jobs": [job with "parts"]}
 * event board    {"at", "version", "ready", "not_ready", "stations": [station], "jobs": [job],
 *                 "jobs_left_out", "inbox", "stock", "offcuts": {"count", "length_mm"},
 *                 "unwritten": {"count", "problem"}}
 * </pre>
 *
 * <p>Names once served keep their meaning; more may be added. A value that is not known is {@code
 * null}, never absent. In the event only jobs that are being cut have their parts.
 */
final class BoardJson {

  /** The most unfinished jobs in an event: more than anybody looks at on one page. */
  static final int MAX_OPEN_JOBS = 60;

  /** The most finished jobs in an event, the newest. */
  static final int MAX_FINISHED_JOBS = 12;

  /** The most lines of a job in an event. */
  static final int MAX_PARTS = 200;

  /** The most refusals and waiting files in an event. */
  static final int MAX_FILES = 8;

  /** The most problems of the stock file in an event. */
  static final int MAX_PROBLEMS = 5;

  private BoardJson() {}

  /** Returns the body of {@code /api/stations}. */
  static byte[] stations(BoardView view, Instant now) {
    ObjectNode root = head(view, now);
    writeStations(root, view);
    return Json.bytes(root);
  }

  /** Returns the body of {@code /api/jobs}. */
  static byte[] jobs(BoardView view, Instant now) {
    ObjectNode root = head(view, now);
    ArrayNode list = root.putArray("jobs");
    for (JobTally job : view.jobs()) {
      ObjectNode node = list.addObject();
      JobJson.write(node, job);
      JobJson.writeParts(node, job, Integer.MAX_VALUE);
    }
    return Json.bytes(root);
  }

  /** Returns the data of the event {@code board}: the whole page, bounded. */
  static byte[] board(BoardView view, Instant now) {
    ObjectNode root = head(view, now);
    root.put("ready", view.notReady() == null);
    root.put("not_ready", view.notReady());
    writeStations(root, view);
    List<JobTally> shown = shown(view);
    ArrayNode list = root.putArray("jobs");
    for (JobTally job : shown) {
      ObjectNode node = list.addObject();
      JobJson.write(node, job);
      if (view.isCurrent(job)) {
        JobJson.writeParts(node, job, MAX_PARTS);
      }
    }
    root.put("jobs_left_out", view.jobs().size() - shown.size());
    inbox(root.putObject("inbox"), view.inbox());
    stock(root.putObject("stock"), view.stock());
    root.putObject("offcuts")
        .put("count", view.offcuts().count())
        .put("length_mm", view.offcuts().length().toMm());
    List<Problem> unwritten = view.unwritten();
    root.putObject("unwritten")
        .put("count", unwritten.size())
        .put("problem", unwritten.isEmpty() ? null : unwritten.get(0).text());
    return Json.bytes(root);
  }

  private static ObjectNode head(BoardView view, Instant now) {
    return Json.object().put("at", Json.time(now)).put("version", view.version());
  }

  private static void writeStations(ObjectNode root, BoardView view) {
    ArrayNode list = root.putArray("stations");
    for (StationView station : view.stations()) {
      StationJson.write(list.addObject(), station, view);
    }
  }

  /** Jobs being cut, then waiting ones as they were taken, then finished ones, newest first. */
  private static List<JobTally> shown(BoardView view) {
    List<JobTally> current = new ArrayList<>();
    List<JobTally> open = new ArrayList<>();
    List<JobTally> finished = new ArrayList<>();
    for (JobTally job : view.jobs()) {
      if (view.isCurrent(job)) {
        current.add(job);
      } else if (job.status().finished()) {
        finished.add(0, job);
      } else {
        open.add(job);
      }
    }
    List<JobTally> shown = new ArrayList<>(current);
    shown.addAll(open.subList(0, Math.min(open.size(), MAX_OPEN_JOBS)));
    shown.addAll(finished.subList(0, Math.min(finished.size(), MAX_FINISHED_JOBS)));
    return shown;
  }

  private static void inbox(ObjectNode node, InboxState inbox) {
    node.put("trouble", inbox.trouble());
    ArrayNode waiting = node.putArray("waiting");
    inbox.waiting().stream()
        .limit(MAX_FILES)
        .forEach(w -> waiting.addObject().put("file", w.file()).put("reason", w.reason()));
    ArrayNode refusals = node.putArray("refusals");
    inbox.refusals().stream()
        .limit(MAX_FILES)
        .forEach(
            r ->
                refusals
                    .addObject()
                    .put("file", r.file())
                    .put("refused_as", r.refusedAs())
                    .put("at", Json.time(r.at()))
                    .put("problem_count", r.problemCount())
                    .put("problem", r.problems().isEmpty() ? null : r.problems().get(0).text()));
  }

  private static void stock(ObjectNode node, StockState stock) {
    node.put("stated", stock.sha256() != null);
    node.put("trouble", stock.trouble());
    node.put("problem_count", stock.problems().size());
    ArrayNode problems = node.putArray("problems");
    stock.problems().stream().limit(MAX_PROBLEMS).map(Problem::text).forEach(problems::add);
  }
}
