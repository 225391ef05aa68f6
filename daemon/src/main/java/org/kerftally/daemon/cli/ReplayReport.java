package org.kerftally.daemon.cli;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.kerftally.daemon.results.TerminalText;
import org.kerftally.daemon.trace.Replay;
import org.kerftally.daemon.trace.TraceCodec;
import org.kerftally.daemon.trace.TraceLine;

/** Says how each decision came out when a trace was run again. */
final class ReplayReport {

  private final TraceCodec codec = new TraceCodec();

  /** Returns one row for a decision that came out as recorded. */
  String agreed(int line, TraceLine.Decided decided) {
    return String.format(
            Locale.ROOT,
            "line %-6d %s  same  %-15s %s",
            line,
            TraceTable.time(decided.at()),
            inputKind(tree(decided)),
            broughtAbout(decided))
        .stripTrailing();
  }

  private String broughtAbout(TraceLine.Decided decided) {
    JsonNode all = tree(decided);
    List<String> kinds = new ArrayList<>();
    all.path("events").forEach(event -> kinds.add(TraceWords.kind(event)));
    all.path("effects").forEach(effect -> kinds.add("do " + TraceWords.kind(effect)));
    if (decided.failure() != null) {
      kinds.add("failed: " + decided.failure());
    } else if (!decided.written()) {
      kinds.add("not written");
    }
    return TerminalText.cut(String.join(", ", kinds), TraceWords.MAX_ROW_CHARS);
  }

  /** Returns what differs: the input, then what both brought about, recorded above replayed. */
  List<String> differs(int line, Replay.Verdict verdict) {
    TraceLine.Decided recorded = verdict.recorded();
    String time = TraceTable.time(recorded.at());
    List<String> rows = new ArrayList<>();
    rows.add(String.format(Locale.ROOT, "line %-6d %s  DIFFERS", line, time));
    JsonNode was = tree(recorded);
    JsonNode is = tree(verdict.replayed());
    rows.add(new TraceTable().input("  given   ", was.path("input")));
    for (String list : List.of("events", "effects")) {
      String way = list.equals("events") ? "ev" : "do";
      int most = Math.max(was.path(list).size(), is.path(list).size());
      for (int i = 0; i < most; i++) {
        pair(way, was.path(list).path(i), is.path(list).path(i), rows);
      }
    }
    failure("recorded", recorded, rows);
    failure("replayed", verdict.replayed(), rows);
    return rows;
  }

  private static void pair(String way, JsonNode was, JsonNode is, List<String> rows) {
    if (was.equals(is)) {
      rows.add(TraceTable.kindRow("  both    ", way, was));
      return;
    }
    rows.add(side("  recorded", way, was));
    rows.add(side("  replayed", way, is));
  }

  private static String side(String who, String way, JsonNode kinds) {
    return kinds.isObject() ? TraceTable.kindRow(who, way, kinds) : who + "  " + way + "  nothing";
  }

  private static void failure(String who, TraceLine.Decided decided, List<String> rows) {
    if (decided.failure() != null) {
      String text = TerminalText.cut(decided.failure(), TraceWords.MAX_ROW_CHARS);
      rows.add("  " + who + "  !!  failed: " + text);
    }
  }

  private JsonNode tree(TraceLine.Decided decided) {
    return codec.tree(decided).path("decided");
  }

  private static String inputKind(JsonNode all) {
    JsonNode input = all.path("input");
    String kind = TraceWords.kind(input);
    JsonNode heard = input.path(kind).path("event");
    return heard.isObject() ? TraceWords.kind(heard) : kind;
  }
}
