package org.kerftally.shared.job;

import java.time.LocalDate;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Describes one line of a job: a wanted piece and how many of it.
 *
 * @param name the part's name; unique within its job together with material and length
 * @param length the finished length, more than zero
 * @param quantity how many are wanted, at least 1
 * @param material the stock it is cut from, or the empty text where the stock has only one
 * @param priority 1 is made first; a shortage falls on the highest number
 * @param note free text for the operator, or {@code null}
 * @param due the day it is wanted, or {@code null}; among parts of one priority a shortage falls on
 *     the latest, and on those without a day first
 */
public record Part(
    String name,
    Length length,
    int quantity,
    String material,
    int priority,
    @Nullable String note,
    @Nullable LocalDate due) {

  /** Describes a part that is wanted by no day of its own. */
  public Part(
      String name,
      Length length,
      int quantity,
      String material,
      int priority,
      @Nullable String note) {
    this(name, length, quantity, material, priority, note, null);
  }

  /** Returns the same part in another quantity. */
  public Part withQuantity(int other) {
    return new Part(name, length, other, material, priority, note, due);
  }

  /** Returns the same part, wanted by a day. */
  public Part withDue(@Nullable LocalDate day) {
    return new Part(name, length, quantity, material, priority, note, day);
  }
}
