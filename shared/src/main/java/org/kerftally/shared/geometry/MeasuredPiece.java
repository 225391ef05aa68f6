package org.kerftally.shared.geometry;

import org.kerftally.shared.length.Length;

/**
 * Holds a piece that was cut to find out how true a positioner is.
 *
 * @param line the line of the file it stands on, by which people know it
 * @param target the length that was asked for
 * @param measured the length it turned out to have
 */
public record MeasuredPiece(int line, Length target, Length measured) {}
