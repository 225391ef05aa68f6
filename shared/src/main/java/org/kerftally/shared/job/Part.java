package org.kerftally.shared.job;

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
 */
public record Part(
    String name,
    Length length,
    int quantity,
    String material,
    int priority,
    @Nullable String note) {}
