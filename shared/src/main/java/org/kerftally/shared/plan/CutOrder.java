package org.kerftally.shared.plan;

/** Tells in which order the cuts of equal sticks follow each other from stick to stick. */
public enum CutOrder {
  /** Every stick is cut in the order stated. */
  SAME,
  /** Every second stick is cut in the opposite order, so that the stop need not go back. */
  TURNING
}
