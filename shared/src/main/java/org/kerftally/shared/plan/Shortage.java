package org.kerftally.shared.plan;

import org.kerftally.shared.length.Length;

/**
 * Says how many of a part cannot be made from the stock there is.
 *
 * @param part the part's name
 * @param material its material
 * @param length its length
 * @param missing how many, at least 1
 */
public record Shortage(String part, String material, Length length, int missing) {}
