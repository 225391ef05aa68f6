package org.kerftally.protocol.wiring;

import java.security.SecureRandom;

/** Makes the marks by which one start of a link is told from every other. */
public final class Marks {

  private static final SecureRandom RANDOM = new SecureRandom();
  private static final long MASK = 0xFFFFFFFFL;

  private Marks() {}

  /** Returns eight characters that no other start is likely to get. */
  public static String next() {
    return String.format("%08x", RANDOM.nextLong() & MASK);
  }
}
