package org.kerftally.daemon.cli;

import static java.nio.charset.StandardCharsets.UTF_16BE;
import static java.nio.charset.StandardCharsets.UTF_16LE;
import static java.nio.charset.StandardCharsets.UTF_8;

import java.net.URLEncoder;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Base64;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * Makes secrets that can be told from anything else, and finds them in bytes: as they are, in wide
 * characters, URL-encoded, in hexadecimal, and in Base64 wherever they may lie within what was
 * encoded.
 */
final class Marks {

  private static final Base64.Encoder PLAIN = Base64.getEncoder().withoutPadding();
  private static final Base64.Encoder URL = Base64.getUrlEncoder().withoutPadding();

  private final Map<String, List<byte[]>> forms = new LinkedHashMap<>();

  /** Returns a new secret; its signs differ in every form that is looked for. */
  String make(String name) {
    String secret = "Q7+" + name + "/~?&>" + Integer.toHexString(name.hashCode()) + "=x";
    byte[] bytes = secret.getBytes(UTF_8);
    List<byte[]> found = new ArrayList<>();
    found.add(bytes);
    found.add(secret.getBytes(UTF_16BE));
    found.add(secret.getBytes(UTF_16LE));
    found.add(URLEncoder.encode(secret, UTF_8).getBytes(UTF_8));
    found.add(HexFormat.of().formatHex(bytes).getBytes(UTF_8));
    found.add(HexFormat.of().withUpperCase().formatHex(bytes).getBytes(UTF_8));
    for (Base64.Encoder encoder : List.of(PLAIN, URL)) {
      for (int before = 0; before < 3; before++) {
        found.add(within(encoder, bytes, before));
      }
    }
    forms.put(name, found);
    return secret;
  }

  /** The characters that come of the secret alone, whatever else was encoded around it. */
  private static byte[] within(Base64.Encoder encoder, byte[] secret, int before) {
    byte[] shifted = new byte[before + secret.length];
    System.arraycopy(secret, 0, shifted, before, secret.length);
    String text = encoder.encodeToString(shifted);
    int from = (8 * before + 5) / 6;
    int to = 8 * shifted.length / 6;
    return text.substring(from, to).getBytes(UTF_8);
  }

  /** Returns the names of the secrets that are in the bytes in any form. */
  List<String> in(byte[] bytes) {
    List<String> names = new ArrayList<>();
    forms.forEach(
        (name, looked) -> {
          if (looked.stream().anyMatch(form -> contains(bytes, form))) {
            names.add(name);
          }
        });
    return names;
  }

  private static boolean contains(byte[] bytes, byte[] form) {
    for (int at = 0; at <= bytes.length - form.length; at++) {
      if (bytes[at] == form[0]
          && Arrays.equals(bytes, at, at + form.length, form, 0, form.length)) {
        return true;
      }
    }
    return false;
  }
}
