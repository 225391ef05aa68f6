package org.kerftally.shared.plan;

import org.kerftally.shared.length.Length;

/**
 * Names one part to cut from a stick.
 *
 * @param part the part's name in its job
 * @param length its finished length
 */
public record Cut(String part, Length length) {}
