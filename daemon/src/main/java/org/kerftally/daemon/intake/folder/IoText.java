package org.kerftally.daemon.intake.folder;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.NoSuchFileException;
import java.util.Objects;

/** Words what a file system answered. */
final class IoText {

  private IoText() {}

  /** Returns one line such as {@code no permission: /srv/kerftally/inbox/supers.csv}. */
  static String of(IOException e) {
    String what = Objects.requireNonNullElse(e.getMessage(), e.getClass().getSimpleName());
    if (e instanceof FileSystemException system) {
      String file = Objects.requireNonNullElse(system.getFile(), "?");
      if (e instanceof NoSuchFileException) {
        what = "not there: " + file;
      } else if (e instanceof AccessDeniedException) {
        what = "no permission: " + file;
      } else if (e instanceof FileAlreadyExistsException) {
        what = "there already: " + file;
      }
    }
    return what.replaceAll("\\R", " ");
  }
}
