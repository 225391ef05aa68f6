package org.kerftally.daemon.cli;

import com.fasterxml.jackson.databind.JsonNode;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.codec.FormatException;
import org.kerftally.daemon.codec.JsonText;
import org.kerftally.daemon.results.TerminalText;
import org.kerftally.daemon.trace.TraceCodec;
import org.kerftally.daemon.trace.TraceLine;
import org.kerftally.protocol.LinkTap;

/**
 * Makes a trace into rows for people, in its order. Of a snapshot only what changed since the one
 * before is shown, and of a message in JSON what changed since the one before on its topic, behind
 * an ellipsis: what matters must not be hidden in what does not.
 */
final class TraceTable {

  /** Explains the second column. */
  static final List<String> LEGEND =
      List.of(
          "->  to the device or broker          <-  from it",
          "in  what the core was given          ev  what it said to the log",
          "do  what it wanted done              !!  about the trace itself");

  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("HH:mm:ss.SSS", Locale.ROOT).withZone(ZoneOffset.UTC);
  private static final String NO_TIME = " ".repeat(12);

  /** Of more topics the messages are shown whole. */
  private static final int MAX_TOPICS = 1_000;

  private final TraceCodec codec = new TraceCodec();
  private final Map<String, Map<String, String>> messages = new HashMap<>();
  private Map<String, String> snapshot = Map.of();
  private @Nullable LocalDate day;

  /** Returns the time of day as a row shows it. */
  static String time(Instant at) {
    return TIME.format(at);
  }

  /** Returns the rows of a line. */
  List<String> rows(TraceLine line) {
    List<String> rows = new ArrayList<>();
    if (line instanceof TraceLine.Header header) {
      header(header, rows);
    } else if (line instanceof TraceLine.Wire wire) {
      String way = wire.way() == LinkTap.Way.TO_DEVICE ? "->" : "<-";
      rows.add(row(day(wire.at(), rows), way, wire.what(), value(wire)));
    } else if (line instanceof TraceLine.Decided decided) {
      decided(decided, rows);
    } else if (line instanceof TraceLine.Lost lost) {
      String much = lost.lines() + (lost.lines() == 1 ? " line is" : " lines are");
      rows.add(row(day(lost.at(), rows), "!!", "lost", much + " missing here: " + lost.why()));
    } else if (line instanceof TraceLine.Resumed) {
      rows.add(row(NO_TIME, "!!", "resumed", "the state after what is missing"));
    } else if (line instanceof TraceLine.Ended ended) {
      rows.add(row(day(ended.at(), rows), "!!", "ended", "the service ended in good order"));
    }
    return rows;
  }

  private void header(TraceLine.Header header, List<String> rows) {
    snapshot = Map.of();
    messages.clear();
    rows.add(
        TerminalText.clean(
            "Station "
                + header.station()
                + ", recorded by Kerftally "
                + header.kerftally()
                + " from "
                + header.at().truncatedTo(ChronoUnit.SECONDS)
                + " on."));
  }

  private void decided(TraceLine.Decided decided, List<String> rows) {
    String time = day(decided.at(), rows);
    JsonNode all = codec.tree(decided).path("decided");
    rows.add(input(time, all.path("input")));
    all.path("events").forEach(event -> rows.add(kindRow(time, "ev", event)));
    all.path("effects").forEach(effect -> rows.add(kindRow(time, "do", effect)));
    if (decided.failure() != null) {
      rows.add(row(time, "!!", "failed", decided.failure()));
    } else if (!decided.written()) {
      rows.add(row(time, "!!", "not written", "the log refused it: nothing of it was done"));
    }
  }

  /** Returns the row of what the core was given. */
  String input(String time, JsonNode input) {
    String kind = TraceWords.kind(input);
    JsonNode heard = input.path(kind).path("event");
    if (!heard.isObject()) {
      return kindRow(time, "in", input);
    }
    String what = TraceWords.kind(heard);
    JsonNode read = heard.path(what).path("snapshot");
    if (!read.isObject()) {
      return kindRow(time, "in", heard);
    }
    Map<String, String> now = TraceWords.fields(read);
    Map<String, String> changes = TraceWords.changes(snapshot, now);
    snapshot = now;
    return row(time, "in", what, changes.isEmpty() ? "(no change)" : TraceWords.line(changes));
  }

  /** Returns a row of something under the name of its kind. */
  static String kindRow(String time, String way, JsonNode kinds) {
    String kind = TraceWords.kind(kinds);
    return row(time, way, kind, TraceWords.line(TraceWords.fields(kinds.path(kind))));
  }

  private String value(TraceLine.Wire wire) {
    String value = (wire.binary() ? "0x" : "") + changed(wire);
    String place = wire.place();
    String left = wire.leftOut() > 0 ? "… (" + wire.leftOut() + " characters left out)" : "";
    return place + (value.isEmpty() ? "" : (place.isEmpty() ? "" : "  ") + value) + left;
  }

  /** Returns the value, or what is other in it than before. */
  private String changed(TraceLine.Wire wire) {
    if (!wire.value().startsWith("{") || messages.size() >= MAX_TOPICS) {
      return wire.value();
    }
    Map<String, String> now;
    try {
      now = TraceWords.fields(JsonText.read(wire.value()));
    } catch (FormatException e) {
      return wire.value();
    }
    Map<String, String> before = messages.put(wire.way() + " " + wire.place(), now);
    if (before == null) {
      return wire.value();
    }
    Map<String, String> changes = TraceWords.changes(before, now);
    return "… " + (changes.isEmpty() ? "(no change)" : TraceWords.line(changes));
  }

  private String day(Instant at, List<String> rows) {
    LocalDate now = LocalDate.ofInstant(at, ZoneOffset.UTC);
    if (!now.equals(day)) {
      day = now;
      rows.add(now + ", times in UTC");
    }
    return time(at);
  }

  private static String row(String time, String way, String what, String value) {
    String clean = TerminalText.cut(value, TraceWords.MAX_ROW_CHARS);
    return String.format(
            Locale.ROOT, "%s  %s  %-15s %s", time, way, TerminalText.clean(what), clean)
        .stripTrailing();
  }
}
