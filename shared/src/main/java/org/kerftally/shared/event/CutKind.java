package org.kerftally.shared.event;

/** Names what a booked saw cycle counts as. */
public enum CutKind {
  /** A good part. */
  PART,
  /** A squaring cut. */
  TRIM,
  /** A cycle out of position or with no target: not a part. */
  SUSPECT,
  /** A cycle the device counted of which nothing else is known. */
  UNATTRIBUTED,
  /** A part the operator rejected. */
  REJECTED;

  /** Returns the word used in the cut log's views. */
  public String word() {
    return switch (this) {
      case PART -> "part";
      case TRIM -> "trim";
      case SUSPECT -> "suspect";
      case UNATTRIBUTED -> "unattributed";
      case REJECTED -> "rejected";
    };
  }
}
