package org.kerftally.daemon.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Base64;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.config.BoardConfig;
import org.kerftally.config.PlainText;
import org.kerftally.config.SecretPlace;

/** Who may read a board that has a token, and by which names one on the network is asked. */
class BoardTokenTest {

  private static final String TOKEN = "heather-honey-41";

  @TempDir private Path folder;
  private Board board;
  private String url;

  @BeforeEach
  void open() throws IOException {
    Path file = Files.writeString(folder.resolve("board.token"), TOKEN + "\n");
    board = Board.open(config(file), new Workshop());
    url = board.url();
  }

  @AfterEach
  void close() {
    board.close();
  }

  private static BoardConfig config(Path token) {
    return new BoardConfig("127.0.0.1", 0, new SecretPlace(token, null), PlainText.REFUSED);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"/", "/board.js", "/api/stations", "/api/jobs", "/api/events", "/metrics", "/x"})
  void withoutTheTokenNothingIsTold(String path) throws IOException {
    try (Http got = Http.get(url, path)) {
      assertThat(got.status()).isEqualTo(401);
      assertThat(got.header("WWW-Authenticate")).isNotNull();
      assertThat(got.body()).doesNotContain("Comb", TOKEN);
    }
  }

  @Test
  void thatItLivesIsToldToAnybody() throws IOException {
    try (Http alive = Http.get(url, "/healthz");
        Http ready = Http.get(url, "/readyz")) {
      assertThat(alive.status()).isEqualTo(200);
      assertThat(ready.status()).isEqualTo(401);
    }
  }

  @Test
  void whoShowsTheTokenMayRead() throws IOException {
    for (String shown :
        List.of(
            "Bearer " + TOKEN,
            "bearer   " + TOKEN,
            "Basic " + base64("office:" + TOKEN),
            "BASIC " + base64(":" + TOKEN))) {
      try (Http got = Http.get(url, "/api/jobs", "Authorization: " + shown)) {
        assertThat(got.status()).as(shown).isEqualTo(200);
      }
    }
    try (Http events = Http.get(url, "/api/events", "Authorization: Bearer " + TOKEN)) {
      assertThat(events.status()).isEqualTo(200);
    }
  }

  @Test
  void whoShowsSomethingElseMayNot() throws IOException {
    for (String shown :
        List.of(
            "Bearer",
            "Bearer ",
            "Bearer x",
            "Bearer " + TOKEN + "x",
            "Bearer " + TOKEN.substring(1),
            "Basic " + TOKEN,
            "Basic " + base64(TOKEN + ":office"),
            "Basic !!!!",
            TOKEN,
            "Digest " + TOKEN,
            "Bearer " + "a".repeat(9_000))) {
      try (Http got = Http.get(url, "/api/jobs", "Authorization: " + shown)) {
        assertThat(got.status()).as(shown).isEqualTo(401);
      }
    }
    String right = "Authorization: Bearer " + TOKEN;
    try (Http twice = Http.get(url, "/api/jobs", right, right)) {
      assertThat(twice.status()).isEqualTo(401);
    }
    try (Http inTheAddress = Http.get(url, "/api/jobs?access_token=" + TOKEN)) {
      assertThat(inTheAddress.status()).isEqualTo(401);
    }
  }

  @Test
  void nothingCanBeChangedWithTheTokenEither() throws IOException {
    try (Http got = Http.ask(url, "POST", "/api/jobs", "Authorization: Bearer " + TOKEN)) {
      assertThat(got.status()).isEqualTo(405);
    }
  }

  @Test
  void aTokenThatCannotBeHadIsNamedByItsPlace() throws IOException {
    Path absent = folder.resolve("absent");
    Path empty = Files.writeString(folder.resolve("empty"), "\n" + TOKEN);
    for (Path file : List.of(absent, empty)) {
      assertThatThrownBy(() -> Board.open(config(file), new Workshop()))
          .isInstanceOf(BoardException.class)
          .hasMessageContaining(file.toString())
          .hasMessageNotContaining(TOKEN);
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "192.168.20.5:8418",
        "192.168.20.5",
        "[fe80::1]:8418",
        "saw-pc:8418",
        "SAW-PC",
        "saws.local:8418",
        "saws.shop.home.arpa:8418",
        "saws.internal",
        "localhost:8418"
      })
  void aBoardOnTheNetworkAnswersToAddressesAndNamesOfTheNetwork(String host) {
    assertThat(new Gate(false, "0.0.0.0", 8418, null).isOurs(List.of(host))).isTrue();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "hives.example:8418",
        "192.168.20.5.example",
        "local.example:8418",
        "saws.local.example",
        "",
        "saws.local@hives.example",
        "a b",
        "hives.example/.local"
      })
  void aBoardOnTheNetworkDoesNotAnswerToNamesThatAnybodyCanHaveResolveToIt(String host) {
    assertThat(new Gate(false, "0.0.0.0", 8418, null).isOurs(List.of(host))).isFalse();
    assertThat(new Gate(false, "0.0.0.0", 8418, null).isOurs(null)).isFalse();
  }

  @Test
  void aBoardWithATokenAnswersToEveryName() throws IOException {
    Path file = folder.resolve("board.token");
    Token token = Token.read(new SecretPlace(file, null));
    assertThat(new Gate(false, "0.0.0.0", 8418, token).isOurs(List.of("saws.example"))).isTrue();
    assertThat(new Gate(true, "127.0.0.1", 8418, token).isOurs(List.of("saws.example"))).isFalse();
  }

  private static String base64(String text) {
    return Base64.getEncoder().encodeToString(text.getBytes(StandardCharsets.UTF_8));
  }
}
