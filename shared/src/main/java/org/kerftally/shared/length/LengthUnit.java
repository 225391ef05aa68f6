package org.kerftally.shared.length;

/** Names a unit that people write lengths in, with its exact size in nanometres. */
public enum LengthUnit {
  /** Millimetre. */
  MM("mm", 1_000_000L),
  /** Centimetre. */
  CM("cm", 10_000_000L),
  /** Metre. */
  M("m", 1_000_000_000L),
  /** Inch: 25.4 mm by definition (NIST SP 811, appendix B.6). */
  IN("in", 25_400_000L),
  /** Foot: 12 in (NIST SP 811, appendix B.6). */
  FT("ft", 304_800_000L);

  private final String symbol;
  private final long nm;

  LengthUnit(String symbol, long nm) {
    this.symbol = symbol;
    this.nm = nm;
  }

  /** Returns the symbol as it is written in files. */
  public String symbol() {
    return symbol;
  }

  /** Returns the exact size of the unit in nanometres. */
  public long nm() {
    return nm;
  }
}
