package org.kerftally.daemon.board;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.util.Base64;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.SecretPlace;
import org.kerftally.daemon.intake.Sha256;

/**
 * Compares what a reader shows with the board's token, without telling by the time it takes how
 * much of it was right.
 *
 * <p>A program shows it as {@code Authorization: Bearer TOKEN} (RFC 6750, 2.1). A browser cannot be
 * told to, but asks its user for a name and a password when it is offered {@code Basic} (RFC 7617):
 * the token counts there as the password of any user. Only the token's hash is kept.
 */
final class Token {

  /** Longer headers are no token of ours. */
  private static final int MAX_HEADER_CHARS = 8_192;

  private static final String BEARER = "bearer ";
  private static final String BASIC = "basic ";

  private final byte[] hash;

  private Token(String token) {
    this.hash = hash(token);
  }

  /** Reads the token from its place, {@code null} for none. */
  static @Nullable Token read(@Nullable SecretPlace place) throws IOException {
    return place == null ? null : new Token(place.read());
  }

  /** Tells whether the value of an Authorization header shows the token. */
  boolean isShownBy(@Nullable String authorization) {
    if (authorization == null || authorization.length() > MAX_HEADER_CHARS) {
      return false;
    }
    String lower = authorization.toLowerCase(Locale.ROOT);
    if (lower.startsWith(BEARER)) {
      return isSame(authorization.substring(BEARER.length()).trim());
    }
    if (lower.startsWith(BASIC)) {
      String pair = decoded(authorization.substring(BASIC.length()).trim());
      return isSame(pair.substring(pair.indexOf(':') + 1));
    }
    return false;
  }

  private boolean isSame(String shown) {
    return MessageDigest.isEqual(hash, hash(shown));
  }

  private static String decoded(String base64) {
    try {
      return new String(Base64.getDecoder().decode(base64), StandardCharsets.UTF_8);
    } catch (IllegalArgumentException e) {
      return "";
    }
  }

  private static byte[] hash(String token) {
    return Sha256.hex(token.getBytes(StandardCharsets.UTF_8)).getBytes(StandardCharsets.US_ASCII);
  }
}
