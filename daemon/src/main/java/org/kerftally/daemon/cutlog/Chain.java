package org.kerftally.daemon.cutlog;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import org.jspecify.annotations.Nullable;

/**
 * Chains every event to all before it, so that no byte of what is stored can change unnoticed.
 *
 * <p>The database checks the shape of its file, not what is in it: a flipped bit inside an event's
 * text reads as another number, and nothing complains. So with each event stands a digest over its
 * row and the digest of the event before it:
 *
 * <pre>
 *  digest(0) = 32 times the digit 0
 *  digest(n) = first 32 hexadecimal digits of
 *              SHA-256( digest(n-1) | id | at | station | kind | body )
 *    id      8 bytes, big-endian; a digest its 32 digits in ASCII
 *    text    its length in bytes of UTF-8, 4 bytes, big-endian, then these bytes;
 *            the length -1 stands for no station
 * </pre>
 *
 * <p>It finds accidents: a bad disk, a bad copy, a stranger's UPDATE. It is no signature, for
 * whoever can write the file can chain anew.
 */
final class Chain {

  static final int DIGEST_CHARS = 32;

  private static final int NONE = -1;

  private Chain() {}

  /** Returns the digest before the first event. */
  static String start() {
    return "0".repeat(DIGEST_CHARS);
  }

  /** Returns the digest of an event from that of the one before it. */
  static String next(
      String before, long id, String at, @Nullable String station, String kind, String body) {
    MessageDigest sha = sha256();
    sha.update(before.getBytes(StandardCharsets.US_ASCII));
    sha.update(ByteBuffer.allocate(Long.BYTES).putLong(0, id));
    add(sha, at);
    add(sha, station);
    add(sha, kind);
    add(sha, body);
    return HexFormat.of().formatHex(sha.digest(), 0, DIGEST_CHARS / 2);
  }

  private static void add(MessageDigest sha, @Nullable String text) {
    byte[] bytes = text == null ? new byte[0] : text.getBytes(StandardCharsets.UTF_8);
    sha.update(ByteBuffer.allocate(Integer.BYTES).putInt(0, text == null ? NONE : bytes.length));
    sha.update(bytes);
  }

  static MessageDigest sha256() {
    try {
      return MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      throw new LinkageError("every Java has SHA-256", e);
    }
  }
}
