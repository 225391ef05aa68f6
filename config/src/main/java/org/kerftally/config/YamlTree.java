package org.kerftally.config;

import java.io.StringReader;
import org.jspecify.annotations.Nullable;
import org.yaml.snakeyaml.LoaderOptions;
import org.yaml.snakeyaml.Yaml;
import org.yaml.snakeyaml.error.Mark;
import org.yaml.snakeyaml.error.MarkedYAMLException;
import org.yaml.snakeyaml.error.YAMLException;
import org.yaml.snakeyaml.events.AliasEvent;
import org.yaml.snakeyaml.events.CollectionEndEvent;
import org.yaml.snakeyaml.events.CollectionStartEvent;
import org.yaml.snakeyaml.events.Event;
import org.yaml.snakeyaml.events.ScalarEvent;
import org.yaml.snakeyaml.nodes.Node;
import org.yaml.snakeyaml.reader.ReaderException;

/**
 * Turns YAML text into nodes that know their lines, and nothing more: no value is ever built from
 * the text's own tags, so no text can make anything happen.
 *
 * <p>The text is walked twice. The first walk only counts, in constant memory, and stops at the
 * first bound that is passed; only what is within bounds is held as nodes. Aliases are allowed,
 * because two stations like to share what is equal, but few: a node is never copied for an alias,
 * and the reader above visits each only where a key of the configuration leads to it.
 */
final class YamlTree {

  /** Ten times the values of a large site. */
  static final int MAX_EVENTS = 50_000;

  /** The configuration itself is six deep. */
  static final int MAX_DEPTH = 16;

  static final int MAX_ALIASES = 100;

  private static final int MAX_PROBLEM_CHARS = 300;

  private YamlTree() {}

  /**
   * Returns the root of the one document in the text, or {@code null} with a problem added.
   *
   * @param text at most {@link ConfigReader#MAX_BYTES} characters
   */
  static @Nullable Node compose(String text, Findings findings) {
    if (hasOddLineEnd(text, findings)) {
      return null;
    }
    try {
      if (!isWithinBounds(text, findings)) {
        return null;
      }
      Node root = yaml().compose(new StringReader(text));
      if (root == null) {
        findings.add(
            1,
            null,
            "found nothing, expected a configuration",
            "The least it needs: folder, stations");
      }
      return root;
    } catch (MarkedYAMLException e) {
      addSyntax(e, findings);
    } catch (ReaderException e) {
      findings.add(
          lineAt(text, e.getPosition()),
          null,
          "found the character " + Integer.toHexString(e.getCodePoint()) + " hex, expected text",
          "Save the file as plain text in UTF-8");
    } catch (YAMLException e) {
      findings.add(0, null, "the YAML cannot be read", "Check brackets, quotes and indentation");
    }
    return null;
  }

  /**
   * YAML 1.1 ends a line at three characters no editor shows as an end of line; the lines of every
   * problem below would be others than the editor's. Nothing is lost by refusing them.
   */
  private static boolean hasOddLineEnd(String text, Findings findings) {
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (c == '\u0085' || c == '\u2028' || c == '\u2029') {
        findings.add(
            lineAt(text, text.codePointCount(0, i)),
            null,
            "found the character " + Integer.toHexString(c) + " hex, expected text",
            "Delete it: it is an end of line that no editor shows");
        return true;
      }
    }
    return false;
  }

  private static Yaml yaml() {
    LoaderOptions options = new LoaderOptions();
    options.setCodePointLimit(ConfigReader.MAX_BYTES);
    options.setNestingDepthLimit(MAX_DEPTH);
    options.setMaxAliasesForCollections(MAX_ALIASES);
    return new Yaml(options);
  }

  private static boolean isWithinBounds(String text, Findings findings) {
    int events = 0;
    int aliases = 0;
    int depth = 0;
    for (Event event : yaml().parse(new StringReader(text))) {
      events++;
      if (event instanceof AliasEvent) {
        aliases++;
      } else if (event instanceof CollectionStartEvent) {
        depth++;
      } else if (event instanceof CollectionEndEvent) {
        depth--;
      }
      String excess = excess(events, aliases, depth);
      if (excess != null) {
        findings.add(lineOf(event.getStartMark()), null, excess, "No configuration needs so many");
        return false;
      }
      if (hasTag(event)) {
        findings.add(
            lineOf(event.getStartMark()),
            null,
            "found a tag (the word behind !), expected a value without one",
            "Delete the tag");
        return false;
      }
    }
    return true;
  }

  private static @Nullable String excess(int events, int aliases, int depth) {
    if (depth > MAX_DEPTH) {
      return "found more than " + MAX_DEPTH + " levels of nesting";
    }
    if (aliases > MAX_ALIASES) {
      return "found more than " + MAX_ALIASES + " aliases";
    }
    return events > MAX_EVENTS ? "found more than " + MAX_EVENTS + " values" : null;
  }

  private static boolean hasTag(Event event) {
    if (event instanceof ScalarEvent scalar) {
      return scalar.getTag() != null;
    }
    return event instanceof CollectionStartEvent start && start.getTag() != null;
  }

  private static void addSyntax(MarkedYAMLException e, Findings findings) {
    Mark mark = e.getProblemMark() != null ? e.getProblemMark() : e.getContextMark();
    int line = mark == null ? 0 : lineOf(mark);
    String message = "the YAML cannot be read: " + problemOf(e);
    Mark begun = e.getContextMark();
    if (begun != null && lineOf(begun) != line) {
      message += ", in what begins in line " + lineOf(begun);
    }
    findings.add(line, null, message, mendOf(e.getProblem()));
  }

  /**
   * What the parser says holds the character it did not expect, whatever that is. The name of an
   * alias may be a piece of a password with an asterisk in it.
   */
  private static String problemOf(MarkedYAMLException e) {
    String problem = e.getProblem() == null ? "no more is known" : e.getProblem();
    if (problem.startsWith("found undefined alias")) {
      return "found an undefined alias";
    }
    if (problem.contains("another document")) {
      return "found a second document";
    }
    return problem.contains("(TAB)")
        ? "found a tab where a value or key begins"
        : Found.visible(problem, MAX_PROBLEM_CHARS);
  }

  private static String mendOf(@Nullable String problem) {
    String text = problem == null ? "" : problem;
    if (text.contains("TAB")) {
      return "Indent with spaces, never with tabs";
    }
    if (text.contains("mapping values are not allowed")) {
      return "Indent keys of one level alike, and put a text with a colon in it in quotes";
    }
    if (text.contains("another document")) {
      return "Keep one configuration a file: delete the `---` and what follows";
    }
    if (text.contains("undefined alias")) {
      return "Put a text that begins with an asterisk in quotes";
    }
    if (text.contains("escape")) {
      return "Put a text with backslashes in single quotes";
    }
    return "Check brackets, quotes and indentation here and in the line above";
  }

  private static int lineOf(@Nullable Mark mark) {
    return mark == null ? 0 : mark.getLine() + 1;
  }

  private static int lineAt(String text, int codePoint) {
    int line = 1;
    int at = 0;
    for (int i = 0; i < codePoint && at < text.length(); i++) {
      int c = text.codePointAt(at);
      line += c == '\n' ? 1 : 0;
      at += Character.charCount(c);
    }
    return line;
  }
}
