package org.kerftally.daemon.intake.table;

import java.nio.ByteBuffer;
import java.nio.CharBuffer;
import java.nio.charset.Charset;
import java.nio.charset.CharsetDecoder;
import java.nio.charset.CoderResult;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import org.kerftally.daemon.intake.table.TextDecoding.Decoded;
import org.kerftally.daemon.intake.table.TextDecoding.Undecodable;

/**
 * Decodes the bytes of an office's file: UTF-8 with or without a byte order mark, UTF-16 with one,
 * else Windows-1252.
 *
 * <p>Every byte counts: a sequence that the encoding does not have makes the file undecodable, it
 * never becomes a replacement character that would then stand in a part's name. Only a file that
 * says nothing of its encoding and is no UTF-8 is taken for Windows-1252, what spreadsheets on many
 * desktops save. A NUL character means that the file is no text at all.
 *
 * <p>Costs a small multiple of the bytes given. Safe for use by any thread.
 */
public final class TextDecoder {

  private static final String SAVE_AS = "save the file again as CSV with the encoding UTF-8";
  private static final Charset WINDOWS_1252 = Charset.forName("windows-1252");

  private TextDecoder() {}

  /** Decodes a whole file. */
  public static TextDecoding decode(byte[] bytes) {
    if (startsWith(bytes, 'P', 'K', 3, 4)) {
      return new Undecodable(
          0, "the file is a workbook or an archive, not text, whatever its name says", SAVE_AS);
    }
    if (startsWith(bytes, 0xFF, 0xFE, 0, 0) || startsWith(bytes, 0, 0, 0xFE, 0xFF)) {
      return new Undecodable(0, "the file is encoded in UTF-32", SAVE_AS);
    }
    if (startsWith(bytes, 0xEF, 0xBB, 0xBF)) {
      return strictly(bytes, 3, StandardCharsets.UTF_8, "UTF-8");
    }
    if (startsWith(bytes, 0xFF, 0xFE)) {
      return strictly(bytes, 2, StandardCharsets.UTF_16LE, "UTF-16");
    }
    if (startsWith(bytes, 0xFE, 0xFF)) {
      return strictly(bytes, 2, StandardCharsets.UTF_16BE, "UTF-16");
    }
    TextDecoding utf8 = strictly(bytes, 0, StandardCharsets.UTF_8, "UTF-8");
    boolean settled = utf8 instanceof Decoded || contains(bytes, 0);
    return settled ? utf8 : strictly(bytes, 0, WINDOWS_1252, "Windows-1252");
  }

  private static TextDecoding strictly(byte[] bytes, int from, Charset charset, String name) {
    CharsetDecoder decoder =
        charset
            .newDecoder()
            .onMalformedInput(CodingErrorAction.REPORT)
            .onUnmappableCharacter(CodingErrorAction.REPORT);
    ByteBuffer in = ByteBuffer.wrap(bytes, from, bytes.length - from);
    // No charset here makes more than one char of a byte.
    CharBuffer out = CharBuffer.allocate(in.remaining() + 1);
    CoderResult result = decoder.decode(in, out, true);
    if (!result.isError()) {
      result = decoder.flush(out);
    }
    String text = out.flip().toString();
    int nul = text.indexOf('\0');
    if (nul >= 0) {
      return new Undecodable(
          lineAt(text, nul),
          "the file has a NUL character, so it is no text that can be read",
          SAVE_AS);
    }
    if (result.isError()) {
      return new Undecodable(
          lineAt(text, text.length()), "there is a byte that " + name + " does not have", SAVE_AS);
    }
    return new Decoded(text);
  }

  /** Returns the line, counted from 1, that an index of the text lies on. */
  private static int lineAt(String text, int index) {
    int line = 1;
    for (int i = 0; i < index; i++) {
      char c = text.charAt(i);
      if (c == '\n' || (c == '\r' && (i + 1 >= text.length() || text.charAt(i + 1) != '\n'))) {
        line++;
      }
    }
    return line;
  }

  private static boolean contains(byte[] bytes, int wanted) {
    for (byte b : bytes) {
      if (b == wanted) {
        return true;
      }
    }
    return false;
  }

  private static boolean startsWith(byte[] bytes, int... start) {
    if (bytes.length < start.length) {
      return false;
    }
    for (int i = 0; i < start.length; i++) {
      if ((bytes[i] & 0xFF) != start[i]) {
        return false;
      }
    }
    return true;
  }
}
