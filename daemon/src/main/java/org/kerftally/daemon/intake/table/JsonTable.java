package org.kerftally.daemon.intake.table;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.core.StreamReadConstraints;
import java.io.IOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Reads a JSON job file into the same cells as a CSV file:
 *
 * <pre>
 * {"job":"Comb honey supers","units":"mm","parts":[{"part":"super side","length":505,"qty":40}]}
 * </pre>
 *
 * <p>Token by token, so that every value keeps its line and path ({@code parts[3].length}) and
 * every number its exact text: none passes through a {@code double}. A key that is unknown or
 * written twice is a problem, {@code null} is the same as leaving it out. Depth, number length and
 * the number of parts are bounded. What comes behind a fault in the syntax is not looked at. Safe
 * for use by any thread.
 */
public final class JsonTable {

  /** The most parts of a file, like the lines of a CSV file. */
  public static final int MAX_PARTS = CsvTable.MAX_LINES;

  private static final int MAX_DEPTH = 16;
  private static final int MAX_NUMBER_CHARS = 100;
  private static final int MAX_STRING_CHARS = 1 << 20;
  private static final int MAX_NAME_CHARS = 1_000;
  private static final int SHOWN_ERROR_CHARS = 120;
  private static final int SHOWN_NAME_CHARS = 40;
  private static final String PARTS = "parts";
  private static final JsonFactory FACTORY =
      JsonFactory.builder()
          .streamReadConstraints(
              StreamReadConstraints.builder()
                  .maxNestingDepth(MAX_DEPTH)
                  .maxNumberLength(MAX_NUMBER_CHARS)
                  .maxStringLength(MAX_STRING_CHARS)
                  .maxNameLength(MAX_NAME_CHARS)
                  .build())
          .build();

  private final JsonParser parser;
  private final Vocabulary words;
  private final Problems problems;
  private final Map<String, Cell> keys = new HashMap<>();
  private final List<Row> rows = new ArrayList<>();
  private boolean partsSeen;
  private boolean tooMany;

  private JsonTable(JsonParser parser, Vocabulary words, Problems problems) {
    this.parser = parser;
    this.words = words;
    this.problems = problems;
  }

  /**
   * Reads a whole file.
   *
   * @param text the file's text
   * @param words what it can say
   * @param problems takes everything that is wrong
   * @return what could be read, or {@code null} when there is no object at all
   */
  public static @Nullable Table read(String text, Vocabulary words, Problems problems) {
    if (text.isBlank()) {
      problems.add(0, null, "the file is empty", "write an object such as {\"parts\":[…]}");
      return null;
    }
    try (JsonParser parser = FACTORY.createParser(text)) {
      return new JsonTable(parser, words, problems).read();
    } catch (JsonProcessingException e) {
      int line = e.getLocation() == null ? 0 : e.getLocation().getLineNr();
      problems.add(
          Math.max(0, line),
          null,
          "the JSON breaks off here: " + firstSentence(e.getOriginalMessage()),
          "mend the punctuation here; what comes behind was not looked at");
      return null;
    } catch (IOException e) {
      throw new IllegalStateException("reading from memory cannot fail", e);
    }
  }

  /** What the parser says holds pieces of the file. */
  private static String firstSentence(@Nullable String message) {
    String text = message == null ? "" : message.lines().findFirst().orElse("");
    return Cell.visible(text, SHOWN_ERROR_CHARS);
  }

  private @Nullable Table read() throws IOException {
    if (parser.nextToken() != JsonToken.START_OBJECT) {
      problems.add(
          line(), null, "an object was expected, found " + shown(), "begin the file with {");
      return null;
    }
    Set<String> seen = new HashSet<>();
    while (parser.nextToken() != JsonToken.END_OBJECT) {
      String key = parser.currentName();
      int keyLine = line();
      parser.nextToken();
      if (!seen.add(key)) {
        twice(keyLine, key);
      } else if (key.equals(PARTS)) {
        parts();
        continue;
      } else if (words.keys().contains(key)) {
        Cell cell = value(key, key);
        if (cell != null) {
          keys.put(key, cell);
        }
        continue;
      } else {
        unknown(keyLine, "", key, words.keys());
      }
      parser.skipChildren();
    }
    if (parser.nextToken() != null) {
      problems.add(line(), null, "there is more behind the closing }", "end the file with it");
    }
    if (!partsSeen) {
      problems.add(
          0, PARTS, "the list parts is missing", "write \"parts\":[…] with one part a piece");
    }
    return new Table(keys, Set.copyOf(words.columns()), rows, false);
  }

  private void parts() throws IOException {
    partsSeen = true;
    if (parser.currentToken() != JsonToken.START_ARRAY) {
      problems.add(line(), PARTS, "a list was expected, found " + shown(), "write \"parts\":[…]");
      parser.skipChildren();
      return;
    }
    int index = 0;
    while (parser.nextToken() != JsonToken.END_ARRAY) {
      String path = PARTS + "[" + index++ + "]";
      if (index > MAX_PARTS) {
        if (!tooMany) {
          tooMany = true;
          problems.add(
              line(),
              path,
              "the file has more than " + MAX_PARTS + " parts",
              "split it into several files");
        }
        parser.skipChildren();
      } else if (parser.currentToken() == JsonToken.START_OBJECT) {
        part(path);
      } else {
        problems.add(
            line(),
            path,
            "an object was expected, found " + shown(),
            "write {\"length\":…,\"qty\":…}");
        parser.skipChildren();
      }
    }
  }

  private void part(String path) throws IOException {
    int line = line();
    Set<String> seen = new HashSet<>();
    Map<String, Cell> cells = new HashMap<>();
    while (parser.nextToken() != JsonToken.END_OBJECT) {
      String name = parser.currentName();
      int nameLine = line();
      parser.nextToken();
      if (!seen.add(name)) {
        twice(nameLine, path + "." + shortened(name));
        parser.skipChildren();
      } else if (!words.columns().contains(name)) {
        unknown(nameLine, path + ".", name, words.columns());
        parser.skipChildren();
      } else {
        Cell cell = value(name, path + "." + name);
        if (cell != null) {
          cells.put(name, cell);
        }
      }
    }
    rows.add(new Row(line, path + ".", cells));
  }

  private @Nullable Cell value(String name, String path) throws IOException {
    JsonToken token = parser.currentToken();
    if (token == JsonToken.VALUE_NULL) {
      return null;
    }
    int line = line();
    boolean plain = token == JsonToken.VALUE_STRING || token.isNumeric();
    if (!plain) {
      Cell refused = new Cell(line, path, "", true);
      problems.add(refused, "a text or a number was expected, found " + shown(), "write one value");
      parser.skipChildren();
      return refused;
    }
    return words.cell(line, name, path, parser.getText(), problems);
  }

  private void twice(int line, String path) {
    problems.add(line, shortened(path), "it is written twice", "leave one of the two");
  }

  private void unknown(int line, String path, String name, List<String> known) {
    String nearest = new Nearest(known).to(name);
    problems.add(
        line,
        path + shortened(name),
        Cell.quote(name) + " is no known key",
        (nearest == null ? "" : "write " + nearest + " if that is meant; ")
            + "known keys are "
            + String.join(", ", known));
  }

  private static String shortened(String name) {
    return Cell.visible(name, SHOWN_NAME_CHARS);
  }

  private int line() {
    return parser.currentTokenLocation().getLineNr();
  }

  private String shown() throws IOException {
    JsonToken token = parser.currentToken();
    if (token == null) {
      return "the end of the file";
    }
    return switch (token) {
      case START_OBJECT -> "an object";
      case START_ARRAY -> "a list";
      default -> Cell.quote(parser.getText());
    };
  }
}
