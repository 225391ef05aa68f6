package org.kerftally.daemon.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.kerftally.config.BoardConfig;

class FeedTest {

  private final Workshop shop = new Workshop();
  private Board board;

  @BeforeEach
  void open() {
    board = Board.open(new BoardConfig("127.0.0.1", 0), shop);
  }

  @AfterEach
  void close() {
    board.close();
  }

  @Test
  void aPageGetsTheWholeStateAtOnceAndThenEachChange() throws IOException {
    try (Http page = listen()) {
      assertThat(page.status()).isEqualTo(200);
      assertThat(page.header("Content-Type")).isEqualTo("text/event-stream");
      assertThat(page.header("Cache-Control")).isEqualTo("no-store");
      JsonNode first = next(page);
      assertThat(made(first)).isEqualTo(52);
      assertThat(first.at("/inbox/refusals/0/problem").asText())
          .isEqualTo("lids.csv, line 7, length: -12 is not a length above zero");
      assertThat(first.at("/offcuts/length_mm").asInt()).isEqualTo(9412);
      assertThat(first.get("ready").asBoolean()).isTrue();
      shop.made(35);
      assertThat(made(next(page))).isEqualTo(53);
      shop.notReady = "the cut log cannot be written";
      assertThat(next(page).get("not_ready").asText()).isEqualTo("the cut log cannot be written");
    }
  }

  @Test
  void aReconnectIsAskedForFirst() throws IOException {
    try (Http page = listen()) {
      String line = page.readLine();
      while (line != null && !line.startsWith("retry:")) {
        line = page.readLine();
      }
      assertThat(line).isEqualTo("retry: 2000");
    }
  }

  @Test
  void onlyTheNewestOfManyChangesIsOwed() throws IOException {
    try (Http page = listen()) {
      next(page);
      for (int sides = 0; sides <= 1000; sides++) {
        shop.made(sides);
      }
      int events = 0;
      int made = 0;
      while (made != 1000 + 18) {
        made = made(next(page));
        events++;
      }
      assertThat(events).isLessThan(200);
    }
  }

  @Test
  void onlyJobsBeingCutCarryTheirParts() throws IOException {
    try (Http page = listen()) {
      JsonNode jobs = next(page).get("jobs");
      assertThat(jobs.get(0).get("id").asText()).isEqualTo("comb-honey-supers");
      assertThat(jobs.get(0).get("parts")).hasSize(3);
      assertThat(jobs.get(1).has("parts")).isFalse();
    }
  }

  @Test
  void manyJobsAreBoundedAndTheRestCounted() throws IOException {
    shop.jobs = Collections.nCopies(500, shop.jobs.get(2));
    try (Http page = listen()) {
      JsonNode state = next(page);
      assertThat(state.get("jobs")).hasSize(BoardJson.MAX_OPEN_JOBS);
      assertThat(state.get("jobs_left_out").asInt()).isEqualTo(500 - BoardJson.MAX_OPEN_JOBS);
    }
  }

  @Test
  void theNumberOfPagesIsBoundedAndAPlaceIsFreedWhenOneGoes() throws IOException {
    List<Http> pages = new ArrayList<>();
    try {
      for (int i = 0; i < Feed.MAX_LISTENERS; i++) {
        pages.add(listen());
      }
      try (Http refused = listen()) {
        assertThat(refused.status()).isEqualTo(503);
        assertThat(refused.header("Retry-After")).isEqualTo("5");
        assertThat(refused.header("Content-Type")).startsWith("text/plain");
      }
      try (Http other = Http.get(board.url(), "/healthz")) {
        assertThat(other.status()).isEqualTo(200);
      }
      pages.remove(0).close();
      await()
          .untilAsserted(
              () -> {
                shop.made(shop.jobs.get(1).made() % 40);
                try (Http again = listen()) {
                  assertThat(again.status()).isEqualTo(200);
                }
              });
    } finally {
      for (Http page : pages) {
        page.close();
      }
    }
  }

  @Test
  void pagesAreLetGoWhenTheSourcesFailAndServedAgainAfter() throws IOException {
    try (Http page = listen()) {
      next(page);
      shop.failure = new IllegalStateException("broken on purpose");
      String line = page.readLine();
      while (line != null) {
        line = page.readLine();
      }
    }
    shop.failure = null;
    try (Http page = listen()) {
      assertThat(made(next(page))).isEqualTo(52);
    }
  }

  @Test
  void closingTheBoardEndsEveryStream() throws IOException {
    try (Http page = listen()) {
      next(page);
      board.close();
      String line = page.readLine();
      while (line != null) {
        line = page.readLine();
      }
    }
  }

  private Http listen() throws IOException {
    return Http.get(board.url(), "/api/events");
  }

  private static JsonNode next(Http page) throws IOException {
    return new ObjectMapper().readTree(page.event("board"));
  }

  private static int made(JsonNode state) {
    return state.at("/jobs/0/made").asInt();
  }
}
