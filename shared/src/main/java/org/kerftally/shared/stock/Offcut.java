package org.kerftally.shared.stock;

import org.kerftally.shared.length.Length;

/**
 * Describes a remainder that is long enough to keep, made here.
 *
 * @param label the label to write on it: unique in a site
 * @param material its material
 * @param length its length
 * @param job the id of the job it remained from
 */
public record Offcut(String label, String material, Length length, String job) {}
