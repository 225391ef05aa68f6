package org.kerftally.config.tls;

import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.security.cert.CertificateEncodingException;
import java.security.cert.X509Certificate;
import java.util.HexFormat;

/** Names a certificate by its SHA-256, in lower-case hexadecimal without separators. */
public final class Fingerprint {

  /** How many digits there are. */
  public static final int DIGITS = 64;

  private Fingerprint() {}

  /** Returns the 64 digits. */
  public static String of(X509Certificate certificate) {
    try {
      MessageDigest sha = MessageDigest.getInstance("SHA-256");
      return HexFormat.of().formatHex(sha.digest(certificate.getEncoded()));
    } catch (NoSuchAlgorithmException | CertificateEncodingException e) {
      throw new IllegalStateException(e);
    }
  }
}
