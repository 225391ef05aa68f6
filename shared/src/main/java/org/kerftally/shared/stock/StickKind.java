package org.kerftally.shared.stock;

/** Tells where a stick comes from. */
public enum StickKind {
  /** A full stick as bought. */
  NEW,
  /** A remainder that was kept. */
  OFFCUT,
  /** What is left of the stick that lies in the saw now: already squared, used first. */
  IN_SAW;

  /** Returns the word used in files: {@code new}, {@code offcut}, {@code in-saw}. */
  public String word() {
    return switch (this) {
      case NEW -> "new";
      case OFFCUT -> "offcut";
      case IN_SAW -> "in-saw";
    };
  }
}
