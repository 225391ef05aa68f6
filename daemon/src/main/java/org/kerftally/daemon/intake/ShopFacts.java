package org.kerftally.daemon.intake;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

/**
 * Tells what a job is checked against: the stock's materials, the stations, and what can be cut.
 *
 * <p>Must answer quickly and the same throughout the reading of one file: take an implementation
 * over an immutable picture of the stock.
 */
public interface ShopFacts {

  /** Returns the names of the stations; empty where a job may name any. */
  List<String> stations();

  /**
   * Returns the materials in stock, without repeats; the empty name where the only one has none.
   */
  List<String> materials();

  /**
   * Returns what can be cut of a known material.
   *
   * @param material one of {@link #materials()}
   * @param station the station the job names, or {@code null} for the best of all stations
   */
  PartLimits limits(String material, @Nullable String station);

  /**
   * Bounds the parts of one material.
   *
   * @param longestStick the longest stick in stock, or {@code null} when none is there now
   * @param longestPart the longest part that can be made of it, all trims and tails considered, or
   *     {@code null} with it
   * @param reach the lengths that the stop can be set for, or {@code null} for any
   */
  record PartLimits(
      @Nullable Length longestStick, @Nullable Length longestPart, @Nullable Travel reach) {

    /** No bound at all. */
    public static final PartLimits NONE = new PartLimits(null, null, null);
  }
}
