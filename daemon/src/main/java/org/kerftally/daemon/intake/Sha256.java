package org.kerftally.daemon.intake;

import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/** Names contents by their SHA-256 (FIPS 180-4), which every Java platform has. */
public final class Sha256 {

  private Sha256() {}

  /** Returns the hash in lower-case hex. */
  public static String hex(byte[] bytes) {
    try {
      return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
