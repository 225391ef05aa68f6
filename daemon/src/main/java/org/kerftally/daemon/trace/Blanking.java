package org.kerftally.daemon.trace;

import static java.nio.charset.StandardCharsets.UTF_8;

import com.fasterxml.jackson.core.io.JsonStringEncoder;
import java.io.IOException;
import java.net.URLEncoder;
import java.util.Base64;
import java.util.Comparator;
import java.util.HexFormat;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.UnaryOperator;
import org.kerftally.config.SecretPlace;

/**
 * Puts a mark in the place of every secret of the site, wherever it stands in a text.
 *
 * <p>Each secret is looked for as it is and as it would stand in JSON, in an address, in Base64 and
 * in hexadecimal, the longest form first. A short one is looked for only as it is: its other forms
 * are found everywhere. Secrets that were read once stay known, so one that was changed stays out
 * as well; they are read again by {@link #refresh}. What cannot be read is nobody's secret yet: the
 * link cannot show it either.
 *
 * <p>For one thread at a time.
 */
final class Blanking implements UnaryOperator<String> {

  /** What stands where a secret stood. */
  static final String MARK = "[blanked]";

  private static final int LEAST_CHARS_FOR_FORMS = 6;
  private static final Base64.Encoder PLAIN = Base64.getEncoder().withoutPadding();
  private static final Base64.Encoder URL = Base64.getUrlEncoder().withoutPadding();

  /** More than anybody changes passwords while a service runs; the oldest are kept. */
  private static final int MAX_SECRETS = 1_000;

  private final List<SecretPlace> places;
  private final Set<String> known = new LinkedHashSet<>();
  private final Set<String> forms =
      new TreeSet<>(Comparator.comparingInt(String::length).reversed().thenComparing(form -> form));

  Blanking(List<SecretPlace> places) {
    this.places = List.copyOf(places);
    refresh();
  }

  /** Reads the secrets again. */
  void refresh() {
    places.forEach(this::refresh);
  }

  private void refresh(SecretPlace place) {
    String secret;
    try {
      secret = place.read();
    } catch (IOException e) {
      // Told by the link that needs it, with its place.
      return;
    }
    if (known.size() < MAX_SECRETS && known.add(secret)) {
      learn(secret);
    }
  }

  private void learn(String secret) {
    forms.add(secret);
    if (secret.length() < LEAST_CHARS_FOR_FORMS) {
      return;
    }
    byte[] bytes = secret.getBytes(UTF_8);
    forms.add(new String(JsonStringEncoder.getInstance().quoteAsString(secret)));
    forms.add(secret.replace("\\", "\\\\").replace("\"", "\\\"").replace("/", "\\/"));
    forms.add(URLEncoder.encode(secret, UTF_8));
    forms.add(URLEncoder.encode(secret, UTF_8).replace("+", "%20"));
    forms.add(HexFormat.of().formatHex(bytes));
    forms.add(HexFormat.of().withUpperCase().formatHex(bytes));
    for (int before = 0; before < 3; before++) {
      forms.add(within(PLAIN, bytes, before));
      forms.add(within(URL, bytes, before));
    }
  }

  /** Returns the characters that come of the secret alone, with other bytes around it. */
  private static String within(Base64.Encoder encoder, byte[] secret, int before) {
    byte[] shifted = new byte[before + secret.length];
    System.arraycopy(secret, 0, shifted, before, secret.length);
    return encoder.encodeToString(shifted).substring((8 * before + 5) / 6, 8 * shifted.length / 6);
  }

  @Override
  public String apply(String text) {
    String blanked = text;
    for (String form : forms) {
      if (blanked.contains(form)) {
        blanked = blanked.replace(form, MARK);
      }
    }
    return blanked;
  }
}
