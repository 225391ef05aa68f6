package org.kerftally.config;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Holds one block of a file of such blocks: a file that is wrong in one way, and what must be said.
 *
 * @param title what should happen
 * @param inSchema whether the schema refuses the file, too
 * @param yaml the file's text
 * @param problems every problem's text, without the file's name
 */
record BrokenFile(String title, boolean inSchema, String yaml, List<String> problems) {

  private static final Pattern LINES = Pattern.compile("([0-9]+)(?:-([0-9]+))?: (.*)");
  private static final String SCHEMA = " [schema]";

  /** Returns the blocks on everything but wiring. */
  static List<BrokenFile> all() {
    return all("broken.txt", "whole.yaml");
  }

  /** Returns the blocks on how devices are wired. */
  static List<BrokenFile> ofWiring() {
    return all("broken-wiring.txt", "wired.yaml");
  }

  private static List<BrokenFile> all(String resource, String right) {
    List<BrokenFile> files = new ArrayList<>();
    String[] blocks = TestFiles.resource(resource).split("\n\n");
    for (String block : List.of(blocks).subList(1, blocks.length)) {
      files.add(parse(block, TestFiles.resource(right)));
    }
    return files;
  }

  private static BrokenFile parse(String block, String right) {
    String[] rows = block.strip().split("\n");
    List<String> lines = new ArrayList<>(right.lines().toList());
    List<String> problems = new ArrayList<>();
    for (String row : List.of(rows).subList(1, rows.length)) {
      Matcher match = LINES.matcher(row);
      if (row.startsWith("=> ")) {
        problems.add(row.substring(3));
      } else if (match.matches()) {
        int first = Integer.parseInt(match.group(1));
        int last = match.group(2) == null ? first : Integer.parseInt(match.group(2));
        lines.subList(first - 1, last).replaceAll(line -> null);
        lines.set(first - 1, match.group(3));
      } else {
        throw new IllegalStateException("neither lines nor a problem: " + row);
      }
    }
    String yaml = String.join("\n", lines.stream().filter(Objects::nonNull).toList()) + "\n";
    boolean inSchema = rows[0].endsWith(SCHEMA);
    return new BrokenFile(rows[0].replace("## ", "").replace(SCHEMA, ""), inSchema, yaml, problems);
  }

  @Override
  public String toString() {
    return title;
  }
}
