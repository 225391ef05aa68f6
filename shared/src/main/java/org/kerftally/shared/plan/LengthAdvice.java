package org.kerftally.shared.plan;

import org.kerftally.shared.length.Length;

/**
 * States a stick length that would need less of a material than the new sticks of a plan.
 *
 * @param material the stock's material
 * @param sticks how many new sticks the plan uses
 * @param used their length, less the offcuts kept of them
 * @param instead the other length
 * @param sticksInstead how many of it would do
 * @param saved how much less material that uses, its one longest offcut counted as kept; more than
 *     zero
 */
public record LengthAdvice(
    String material, int sticks, Length used, Length instead, int sticksInstead, Length saved) {}
