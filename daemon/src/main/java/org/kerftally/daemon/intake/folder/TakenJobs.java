package org.kerftally.daemon.intake.folder;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/** Tells which jobs the cut log holds. Must be whole before intake begins to work. */
public interface TakenJobs {

  /** Returns the latest job that was made of this content, or {@code null}. */
  @Nullable TakenJob bySha256(String sha256);

  /** Tells whether a job of this id was ever taken. */
  boolean isKnown(String id);

  /**
   * Describes a job that was taken.
   *
   * @param id its id
   * @param file the name of the file it came in
   * @param at when it was taken
   */
  record TakenJob(String id, String file, Instant at) {}
}
