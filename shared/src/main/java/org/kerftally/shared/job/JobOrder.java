package org.kerftally.shared.job;

import java.time.LocalDate;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.LengthUnit;

/**
 * States what the office wants cut: a job order in the words of ISA-95.
 *
 * @param id the job's id, unique in a site and safe as a file name: {@code comb-honey-supers.2}
 * @param name the job's name as people wrote it
 * @param file the name of the file that was dropped
 * @param sha256 the dropped content's SHA-256 in lower-case hex: the job's identity
 * @param due the day it is wanted, or {@code null}
 * @param unit the unit that its lengths are shown in
 * @param priority 1 is cut first
 * @param station the station it asks for, or {@code null} for any that can cut it
 * @param parts the wanted parts, at least one
 */
public record JobOrder(
    String id,
    String name,
    String file,
    String sha256,
    @Nullable LocalDate due,
    LengthUnit unit,
    int priority,
    @Nullable String station,
    List<Part> parts) {

  /** Copies the list. */
  public JobOrder {
    parts = List.copyOf(parts);
  }
}
