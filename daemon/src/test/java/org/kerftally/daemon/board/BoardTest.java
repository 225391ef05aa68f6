package org.kerftally.daemon.board;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.URI;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.config.BoardConfig;

class BoardTest {

  private final Workshop shop = new Workshop();
  private Board board;
  private String url;

  @BeforeEach
  void open() {
    board = Board.open(new BoardConfig("127.0.0.1", 0), shop);
    url = board.url();
  }

  @AfterEach
  void close() {
    board.close();
  }

  @ParameterizedTest
  @CsvSource({
    "/, text/html; charset=utf-8",
    "/board.css, text/css; charset=utf-8",
    "/board.js, text/javascript; charset=utf-8",
    "/icon.svg, image/svg+xml",
    "/api/stations, application/json",
    "/api/jobs, application/json",
    "/metrics, application/openmetrics-text; version=1.0.0; charset=utf-8",
    "/healthz, text/plain; charset=utf-8",
    "/readyz, text/plain; charset=utf-8",
  })
  void everyAddressIsServedWithItsTypeAndTheStrictHeaders(String path, String type)
      throws IOException {
    try (Http got = Http.get(url, path)) {
      assertThat(got.status()).isEqualTo(200);
      assertThat(got.header("Content-Type")).isEqualTo(type);
      assertStrict(got);
      assertThat(got.body().getBytes(UTF_8)).isNotEmpty().hasSize(contentLength(got));
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"/", "/board.js", "/api/jobs", "/metrics", "/healthz", "/nothing"})
  void headTellsWhatGetWouldWithoutTheBody(String path) throws IOException {
    try (Http head = Http.ask(url, "HEAD", path);
        Http get = Http.get(url, path)) {
      assertThat(head.status()).isEqualTo(get.status());
      assertThat(head.header("Content-Length")).isEqualTo(get.header("Content-Length"));
      assertThat(head.header("Content-Type")).isEqualTo(get.header("Content-Type"));
      assertThat(head.body()).isEmpty();
    }
  }

  @Test
  void headOfTheStreamTellsItsTypeAndEnds() throws IOException {
    try (Http head = Http.ask(url, "HEAD", "/api/events")) {
      assertThat(head.status()).isEqualTo(200);
      assertThat(head.header("Content-Type")).isEqualTo("text/event-stream");
      assertThat(head.body()).isEmpty();
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "MOVE"})
  void nothingCanBeChanged(String method) throws IOException {
    try (Http got = Http.ask(url, method, "/api/jobs")) {
      assertThat(got.status()).isEqualTo(405);
      assertThat(got.header("Allow")).isEqualTo("GET, HEAD");
      assertStrict(got);
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"/nothing", "/api", "/api/", "/index.html", "/board.js/", "/../board.js"})
  void whatIsNotThereIsNotFound(String path) throws IOException {
    try (Http got = Http.get(url, path)) {
      assertThat(got.status()).isEqualTo(404);
      assertStrict(got);
    }
  }

  @Test
  void aQueryChangesNothing() throws IOException {
    try (Http got = Http.get(url, "/healthz?at=1")) {
      assertThat(got.status()).isEqualTo(200);
    }
  }

  @Test
  void aLongAddressIsRefused() throws IOException {
    try (Http got = Http.get(url, "/" + "a".repeat(Gate.MAX_URI))) {
      assertThat(got.status()).isEqualTo(414);
    }
  }

  @Test
  void anEndlessHeadIsCutOff() throws IOException {
    String head =
        "GET / HTTP/1.1\r\nHost: localhost\r\nX-Long: " + "a".repeat(4_000_000) + "\r\n\r\n";
    assertThat(Http.isAnswered(url, head)).isFalse();
    try (Http got = Http.get(url, "/healthz")) {
      assertThat(got.status()).isEqualTo(200);
    }
  }

  @Test
  void clientsThatSendTheirRequestSlowlyHoldNobodyUp() throws IOException {
    List<Http> slow = new ArrayList<>();
    try {
      for (int i = 0; i < Board.WORKERS / 2; i++) {
        slow.add(Http.begin(url, "GET /healthz HT"));
      }
      try (Http got = Http.get(url, "/healthz")) {
        assertThat(got.status()).isEqualTo(200);
      }
    } finally {
      for (Http client : slow) {
        client.close();
      }
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"mailto:x", "*", "/%zz", "http://127.0.0.1", ":"})
  void anOddAddressHarmsNobody(String address) throws IOException {
    Http.isAnswered(url, "GET " + address + " HTTP/1.1\r\nHost: localhost:" + port() + "\r\n\r\n");
    try (Http got = Http.get(url, "/healthz")) {
      assertThat(got.status()).isEqualTo(200);
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"localhost", "LOCALHOST", "127.0.0.1", "[::1]"})
  void thisMachinesOwnNamesAreServed(String name) throws IOException {
    try (Http got = Http.get(url, "/healthz", "Host: " + name + ":" + port())) {
      assertThat(got.status()).isEqualTo(200);
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"hives.example:PORT", "localhost", "localhost:1", "127.0.0.1.example:PORT"})
  void anotherNameForThisMachineIsNotServed(String host) throws IOException {
    String named = host.replace("PORT", Integer.toString(port()));
    try (Http got = Http.get(url, "/api/jobs", "Host: " + named)) {
      assertThat(got.status()).isEqualTo(421);
      assertThat(got.body()).doesNotContain("Comb honey supers");
    }
  }

  @Test
  void twoHostsAreNotServed() throws IOException {
    String own = "Host: localhost:" + port();
    try (Http got = Http.get(url, "/api/jobs", own, own)) {
      assertThat(got.status()).isEqualTo(421);
    }
  }

  @Test
  void anotherSitesPageMayLinkHereButNotEmbed() throws IOException {
    try (Http embedded = Http.get(url, "/api/events", "Sec-Fetch-Site: cross-site");
        Http linked = Http.get(url, "/", "Sec-Fetch-Site: cross-site")) {
      assertThat(embedded.status()).isEqualTo(403);
      assertThat(linked.status()).isEqualTo(200);
    }
  }

  @Test
  void stationsAreToldExactly() throws IOException {
    JsonNode station = json("/api/stations").get("stations").get(0);
    assertThat(station.get("name").asText()).isEqualTo("saw1");
    assertThat(station.get("state").asText()).isEqualTo("Execute");
    assertThat(station.get("since").asText()).isEqualTo("2027-03-01T09:15:10.000Z");
    assertThat(station.at("/target/length_mm").asText()).isEqualTo("505");
    assertThat(station.at("/target/length_text").asText()).isEqualTo("505 mm");
    assertThat(station.at("/prompt/kind").asText()).isEqualTo("cut");
    assertThat(station.at("/device/saw").asText()).isEqualTo("idle");
    assertThat(station.get("trouble").isNull()).isTrue();
  }

  @Test
  void whatStandsInForALackingSignalIsNotedAtItsStation() throws IOException {
    assertThat(json("/api/stations").at("/stations/0/notes")).isEmpty();
    shop.notes = Map.of("saw1", List.of("the device has no <b>BootId</b>."), "saw2", List.of("x"));

    JsonNode notes = json("/api/stations").at("/stations/0/notes");

    assertThat(notes).hasSize(1);
    assertThat(notes.get(0).asText()).isEqualTo("the device has no <b>BootId</b>.");
  }

  @Test
  void aJobsLengthsAreExactAndInItsOwnUnitToo() throws IOException {
    JsonNode jobs = json("/api/jobs").get("jobs");
    assertThat(jobs).hasSize(3);
    JsonNode rafter = jobs.get(2).get("parts").get(1);
    assertThat(rafter.get("length_mm").asText()).isEqualTo("2443.1625");
    assertThat(rafter.get("length_text").asText()).isEqualTo("96-3/16 in");
    assertThat(jobs.get(1).get("made").asInt()).isEqualTo(52);
    assertThat(jobs.get(1).get("short").asInt()).isEqualTo(2);
    assertThat(jobs.get(2).get("yield").isNull()).isTrue();
    assertThat(jobs.get(2).get("started_at").isNull()).isTrue();
  }

  @Test
  void metricsAreWhatWasFolded() throws IOException {
    try (Http got = Http.get(url, "/metrics")) {
      assertThat(got.body().lines())
          .contains(
              "kerftally_cuts_total{kind=\"part\",station=\"saw1\"} 74.0",
              "kerftally_cuts_total{kind=\"suspect\",station=\"saw1\"} 0.0",
              "kerftally_parts_made_total{station=\"saw1\"} 74.0",
              "kerftally_parts_rejected_total{station=\"saw1\"} 2.0",
              "kerftally_faults_total{station=\"saw1\"} 1.0",
              "kerftally_targets_sent_total{station=\"saw1\"} 96.0",
              "kerftally_station_state{state=\"execute\",station=\"saw1\"} 1.0",
              "kerftally_station_state{state=\"held\",station=\"saw1\"} 0.0",
              "kerftally_link_up{station=\"saw1\"} 1.0",
              "kerftally_jobs_waiting{station=\"saw1\"} 2.0",
              "kerftally_offcuts_length_meters 9.412",
              "kerftally_build_info{version=\"0.1.0-test\"} 1",
              "# EOF");
    }
  }

  @Test
  void metricsNameNoJob() throws IOException {
    try (Http got = Http.get(url, "/metrics")) {
      assertThat(got.body()).doesNotContainIgnoringCase("comb").doesNotContain("hoffman");
    }
  }

  @Test
  void itIsReadyOnlyWhenTheServiceIs() throws IOException {
    shop.notReady = "the cut log is being replayed";
    try (Http ready = Http.get(url, "/readyz");
        Http alive = Http.get(url, "/healthz")) {
      assertThat(ready.status()).isEqualTo(503);
      assertThat(ready.body()).isEqualTo("not ready: the cut log is being replayed\n");
      assertThat(alive.status()).isEqualTo(200);
    }
    shop.notReady = null;
    try (Http ready = Http.get(url, "/readyz")) {
      assertThat(ready.status()).isEqualTo(200);
    }
  }

  @Test
  void aHostileNameIsInertInJsonAndMetrics() throws IOException {
    String name = "</script><script>x()</script>\u2028\"\n\\";
    shop.jobs = List.of(Workshop.supers("evil", name, 1));
    shop.stations = List.of(Workshop.cutting(name, "evil"));
    assertThat(json("/api/jobs").at("/jobs/0/name").asText()).isEqualTo(name);
    try (Http got = Http.get(url, "/metrics")) {
      assertThat(got.body().lines().filter(line -> line.startsWith("kerftally_link_up")))
          .hasSize(1)
          .allMatch(line -> line.contains("\\n") && line.contains("\\\""));
    }
  }

  @Test
  void aSourceThatFailsIsToldAsA500() throws IOException {
    shop.failure = new IllegalStateException("secret detail");
    try (Http got = Http.get(url, "/api/stations")) {
      assertThat(got.status()).isEqualTo(500);
      assertThat(got.body()).doesNotContain("secret detail");
    }
  }

  @Test
  void thePageHoldsNoInlineScriptOrStyleAndNothingFromOutside() throws IOException {
    try (Http page = Http.get(url, "/");
        Http script = Http.get(url, "/board.js");
        Http style = Http.get(url, "/board.css")) {
      String html = page.body();
      assertThat(html).doesNotContain("style=", "<style", "onclick", "javascript:", "http");
      assertThat(html.split("<script", -1)).hasSize(2);
      assertThat(html).contains("no safety function", "lockout");
      assertThat(script.body()).doesNotContain("innerHTML", "outerHTML", "eval(", "document.write");
      assertThat(style.body()).doesNotContain("url(", "@import");
    }
  }

  @Test
  void aTakenPortIsNamedWithItsMend() {
    assertThatThrownBy(() -> Board.open(new BoardConfig("127.0.0.1", port()), shop))
        .isInstanceOf(BoardException.class)
        .hasMessageContaining("127.0.0.1:" + port())
        .hasMessageContaining("another port");
  }

  @Test
  void noBoardIsNotOpened() {
    assertThatThrownBy(() -> Board.open(BoardConfig.OFF, shop))
        .isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void aClosedBoardListensNoMore() {
    board.close();
    assertThatThrownBy(() -> Http.get(url, "/healthz")).isInstanceOf(IOException.class);
  }

  private int port() {
    return URI.create(url).getPort();
  }

  private JsonNode json(String path) throws IOException {
    try (Http got = Http.get(url, path)) {
      return new ObjectMapper().readTree(got.body());
    }
  }

  private static int contentLength(Http got) {
    return Integer.parseInt(String.valueOf(got.header("Content-Length")));
  }

  private static void assertStrict(Http got) {
    assertThat(got.header("Content-Security-Policy"))
        .startsWith("default-src 'none';")
        .contains("script-src 'self'", "style-src 'self'", "frame-ancestors 'none'")
        .doesNotContain("unsafe");
    assertThat(got.header("X-Content-Type-Options")).isEqualTo("nosniff");
    assertThat(got.header("Cache-Control")).isEqualTo("no-store");
    assertThat(got.header("Referrer-Policy")).isEqualTo("no-referrer");
  }
}
