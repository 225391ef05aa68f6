package org.kerftally.daemon.intake.folder;

import java.nio.charset.StandardCharsets;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Set;

/** Knows what a file's name says: a job file, a file still being written, or something else. */
final class FileNames {

  /** What stands behind the name of a refused file in the name of its reasons. */
  static final String WHY = ".why.txt";

  /** The longest name, in UTF-8 bytes, that common file systems take. */
  static final int MAX_NAME_BYTES = 255;

  private static final List<String> JOB_EXTENSIONS = List.of("csv", "json");

  /** What programs call a file that they are still writing, as far as is known from memory. */
  private static final Set<String> UNFINISHED_EXTENSIONS =
      Set.of(
          "tmp",
          "temp",
          "part",
          "partial",
          "crdownload",
          "download",
          "filepart",
          "opdownload",
          "swp",
          "swx",
          "lock",
          "lck");

  /** What desktops put into folders by themselves, from memory. */
  private static final Set<String> LITTER = Set.of("desktop.ini", "thumbs.db", "icon\r");

  private FileNames() {}

  /**
   * Tells whether a name belongs to a file that somebody is still writing, or to no user at all.
   */
  static boolean isPassedOver(String name) {
    String lower = name.toLowerCase(Locale.ROOT);
    return lower.startsWith(".")
        || lower.startsWith("~")
        || lower.endsWith("~")
        || LITTER.contains(lower)
        || UNFINISHED_EXTENSIONS.contains(extension(lower));
  }

  /** Tells whether a name belongs to a job file. */
  static boolean isJobFile(String name) {
    return JOB_EXTENSIONS.contains(extension(name.toLowerCase(Locale.ROOT)));
  }

  /** Returns what stands behind the last dot, or the empty text. */
  static String extension(String name) {
    int dot = name.lastIndexOf('.');
    return dot < 0 ? "" : name.substring(dot + 1);
  }

  /** Returns the extensions of job files. */
  static List<String> jobExtensions() {
    return JOB_EXTENSIONS;
  }

  /**
   * Returns a name for a refused file: {@code jobs.csv}, or {@code jobs (2).csv} for the second
   * try.
   *
   * <p>It is short enough to have {@value #WHY} behind it, can be written in the platform's
   * charset, and never ends in {@value #WHY} itself, so that no reasons ever replace an original.
   */
  static String refused(String name, int number) {
    boolean posesAsReasons = name.toLowerCase(Locale.ROOT).endsWith(WHY);
    String suffix = number == 1 && !posesAsReasons ? "" : " (" + number + ")";
    String plain = encodable(name);
    int dot = plain.lastIndexOf('.');
    String stem = dot > 0 ? plain.substring(0, dot) : plain;
    String extension = dot > 0 ? plain.substring(dot) : "";
    while (bytes(stem + suffix + extension + WHY + ".tmp") >= MAX_NAME_BYTES) {
      if (stem.isEmpty()) {
        return refused("refused", number);
      }
      stem = stem.substring(0, stem.offsetByCodePoints(stem.length(), -1));
      if (stem.isEmpty() && !extension.isEmpty()) {
        stem = extension.substring(1);
        extension = "";
      }
    }
    return stem + suffix + extension;
  }

  private static String encodable(String name) {
    try {
      return String.valueOf(Path.of(name).getFileName());
    } catch (InvalidPathException e) {
      return name.replaceAll("[^\\x20-\\x7E]", "_");
    }
  }

  private static int bytes(String name) {
    return name.getBytes(StandardCharsets.UTF_8).length;
  }
}
