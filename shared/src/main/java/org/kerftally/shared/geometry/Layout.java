package org.kerftally.shared.geometry;

/** Names which side of the blade the positioner stands on. */
public enum Layout {
  /** The operator feeds stock against a stop behind the blade; a target is a part length. */
  OUTFEED_STOP,
  /** A pusher feeds the stick; a target is what must remain on the infeed side of the blade. */
  INFEED_PUSHER;

  /** Returns the word used in files: {@code outfeed-stop} or {@code infeed-pusher}. */
  public String word() {
    return this == OUTFEED_STOP ? "outfeed-stop" : "infeed-pusher";
  }
}
