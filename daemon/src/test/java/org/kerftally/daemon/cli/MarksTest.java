package org.kerftally.daemon.cli;

import static java.nio.charset.StandardCharsets.UTF_16LE;
import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.net.URLEncoder;
import java.util.Base64;
import org.junit.jupiter.api.Test;

/** A search that finds nothing proves something only where it would have found it. */
final class MarksTest {

  private final Marks marks = new Marks();
  private final String secret = marks.make("token");

  @Test
  void aSecretIsFoundInEveryForm() {
    assertThat(marks.in(("x " + secret + " y").getBytes(UTF_8))).containsExactly("token");
    assertThat(marks.in(("x" + secret + "y").getBytes(UTF_16LE))).containsExactly("token");
    assertThat(marks.in(("a=" + URLEncoder.encode(secret, UTF_8)).getBytes(UTF_8)))
        .containsExactly("token");
    for (String before : new String[] {"", "u", "u:", "us:", "user:"}) {
      byte[] pair = (before + secret + ":more").getBytes(UTF_8);
      assertThat(marks.in(Base64.getEncoder().encode(pair))).containsExactly("token");
      assertThat(marks.in(Base64.getUrlEncoder().encode(pair))).containsExactly("token");
    }
  }

  @Test
  void whatIsNoSecretIsNotFound() {
    String other = new Marks().make("other");

    assertThat(marks.in(other.getBytes(UTF_8))).isEmpty();
    assertThat(marks.in(secret.substring(1).getBytes(UTF_8))).isEmpty();
    assertThat(marks.in(new byte[0])).isEmpty();
  }
}
