package org.kerftally.daemon.intake;

import java.text.Normalizer;
import java.util.Locale;
import java.util.Set;
import java.util.function.Predicate;

/**
 * Makes job ids out of file names: {@code "Comb honey supers.csv"} becomes {@code
 * comb-honey-supers}, the next file of that name {@code comb-honey-supers.2}.
 *
 * <p>An id is a file name on every system the office may look from: letters and digits of any
 * script in NFC and lower case, everything else one hyphen, at most {@value #MAX_CHARS} characters
 * before the revision, and none of the names that Windows keeps for devices (the list is from
 * memory). No result depends on the default locale.
 */
public final class JobIds {

  /** The most characters of an id, its revision not counted. */
  static final int MAX_CHARS = 80;

  /** The most revisions of one id. */
  static final int MAX_REVISIONS = 100_000;

  private static final Set<String> DEVICES = Set.of("con", "prn", "aux", "nul");

  private JobIds() {}

  /** Returns the id of the first revision for a file name with its extension. */
  public static String slug(String fileName) {
    String stem = Normalizer.normalize(stem(fileName), Normalizer.Form.NFC);
    String lower = Normalizer.normalize(stem.toLowerCase(Locale.ROOT), Normalizer.Form.NFC);
    StringBuilder slug = new StringBuilder();
    for (int i = 0; i < lower.length(); i += Character.charCount(lower.codePointAt(i))) {
      int codePoint = lower.codePointAt(i);
      if (isKept(codePoint)) {
        if (slug.length() + Character.charCount(codePoint) > MAX_CHARS) {
          break;
        }
        slug.appendCodePoint(codePoint);
      } else if (slug.length() > 0
          && slug.charAt(slug.length() - 1) != '-'
          && slug.length() < MAX_CHARS) {
        slug.append('-');
      }
    }
    if (slug.length() > 0 && slug.charAt(slug.length() - 1) == '-') {
      slug.setLength(slug.length() - 1);
    }
    if (slug.length() == 0) {
      return "job";
    }
    String id = slug.toString();
    return isDevice(id) ? "job-" + id : id;
  }

  /**
   * Returns the first revision of a slug that is free: {@code slug}, {@code slug.2}, {@code
   * slug.3}.
   *
   * @throws IllegalStateException when {@value #MAX_REVISIONS} of them are in use
   */
  public static String next(String slug, Predicate<String> inUse) {
    if (!inUse.test(slug)) {
      return slug;
    }
    for (int revision = 2; revision <= MAX_REVISIONS; revision++) {
      String id = slug + "." + revision;
      if (!inUse.test(id)) {
        return id;
      }
    }
    throw new IllegalStateException("more than " + MAX_REVISIONS + " revisions of " + slug);
  }

  /** Returns a file name without its extension. */
  static String stem(String fileName) {
    int dot = fileName.lastIndexOf('.');
    return dot > 0 ? fileName.substring(0, dot) : fileName;
  }

  private static boolean isKept(int codePoint) {
    int type = Character.getType(codePoint);
    // A mark that no composed letter takes in belongs to the letter before it.
    return Character.isLetterOrDigit(codePoint)
        || type == Character.NON_SPACING_MARK
        || type == Character.COMBINING_SPACING_MARK;
  }

  private static boolean isDevice(String id) {
    return DEVICES.contains(id) || id.matches("(?:com|lpt)[0-9]");
  }
}
