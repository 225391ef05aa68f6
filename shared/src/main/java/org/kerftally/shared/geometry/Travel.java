package org.kerftally.shared.geometry;

import org.kerftally.shared.length.Length;

/**
 * Bounds where the stop can stand, as lengths at the blade.
 *
 * @param min the shortest reachable length
 * @param max the longest reachable length, more than {@code min}
 */
public record Travel(Length min, Length max) {

  /** Tells whether the stop can stand there. */
  public boolean reaches(Length wanted) {
    return !wanted.isLessThan(min) && !wanted.isMoreThan(max);
  }
}
