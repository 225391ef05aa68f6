package org.kerftally.config;

import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.function.Function;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.kerftally.shared.geometry.Layout;

/** Reads names, words from a closed set, yes and no, texts and paths. */
final class WordKinds {

  static final Kind<String> STATION_NAME =
      matching(
          "saw1", "[A-Za-z0-9_-]{1,32}", "1 to 32 of A-Z a-z 0-9 _ -: it goes into file names");

  /** What is no name may be the password itself, so it is never shown. */
  static final Kind<String> ENVIRONMENT_NAME =
      new Kind<>(
          "KERFTALLY_PASSWORD",
          text ->
              text.matches("[A-Za-z_][A-Za-z0-9_]{0,63}")
                  ? Reading.of(text)
                  : new Reading.Not<>(
                      "something else", "the name of an environment variable", null));

  static final Kind<Layout> LAYOUT = oneOf(Layout.values(), Layout::word);
  static final Kind<OperatorConfig.StickLoaded> STICK_LOADED =
      oneOf(OperatorConfig.StickLoaded.values(), OperatorConfig.StickLoaded::word);
  static final Kind<OperatorConfig.Acknowledge> ACKNOWLEDGE =
      oneOf(OperatorConfig.Acknowledge.values(), OperatorConfig.Acknowledge::word);
  static final Kind<QualityConfig.From> FROM =
      oneOf(QualityConfig.From.values(), QualityConfig.From::word).like("above");
  static final Kind<Boolean> YES_OR_NO =
      oneOf(new Boolean[] {true, false}, yes -> yes ? "true" : "false");

  static final Kind<OpcUaSecurity> SECURITY =
      oneOf(OpcUaSecurity.values(), OpcUaSecurity::word).like("best");
  static final Kind<PlainText> PLAIN_TEXT = oneOf(PlainText.values(), PlainText::word);

  static final Kind<String> SECTION = text("19 x 146", 64);
  static final Kind<String> MATERIAL_NAME = text("pine-19x146", 64);
  static final Kind<String> USER = text("kerftally", 128);
  static final Kind<String> NAMESPACE =
      matching("urn:kerftally:positioner", "[^\\s;]{1,256}", "a namespace URI without blanks");

  private static final int MAX_PATH_CHARS = 1_024;

  private WordKinds() {}

  private static Kind<String> matching(String example, String pattern, String expected) {
    Pattern compiled = Pattern.compile(pattern);
    return new Kind<>(
        example,
        text -> compiled.matcher(text).matches() ? Reading.of(text) : Reading.not(text, expected));
  }

  private static <T> Kind<T> oneOf(T[] values, Function<T, String> word) {
    List<String> words = Arrays.stream(values).map(word).toList();
    String expected = words.stream().collect(Collectors.joining(" or "));
    return new Kind<>(
        words.get(0),
        text -> {
          int at = words.indexOf(text);
          if (at >= 0) {
            return Reading.of(values[at]);
          }
          String near = Suggestion.nearest(text.toLowerCase(Locale.ROOT), words);
          return near == null
              ? Reading.not(text, expected)
              : Reading.not(text, expected, "Maybe you meant " + near);
        });
  }

  private static Kind<String> text(String example, int maxChars) {
    return new Kind<>(
        example,
        text ->
            isPlain(text, maxChars)
                ? Reading.of(text)
                : Reading.not(text, "a text of 1 to " + maxChars + " visible characters"));
  }

  /** Tells whether a text has something to see, nothing hidden in it, and a bounded length. */
  static boolean isPlain(String text, int maxChars) {
    if (text.isBlank() || text.length() > maxChars || !text.equals(text.strip())) {
      return false;
    }
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      boolean pair = i + 1 < text.length() && Character.isSurrogatePair(c, text.charAt(i + 1));
      if (pair) {
        i++;
      } else if (Found.isHidden(c)) {
        return false;
      }
    }
    return true;
  }

  /** Returns a kind that reads a path; one that is relative starts at the base. */
  static Kind<Path> path(String example, Path base) {
    return new Kind<>(
        example,
        text -> {
          String expected = "a path of 1 to " + MAX_PATH_CHARS + " visible characters";
          if (!isPlain(text, MAX_PATH_CHARS)) {
            return Reading.not(text, expected);
          }
          if (text.equals("~") || text.startsWith("~/")) {
            return Reading.not(
                text, "a path without ~", "Only a shell knows ~: write the whole path");
          }
          try {
            return Reading.of(base.resolve(text).normalize());
          } catch (InvalidPathException e) {
            return Reading.not(text, "a path that this system can hold");
          }
        });
  }
}
