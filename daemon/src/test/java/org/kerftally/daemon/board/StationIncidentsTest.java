package org.kerftally.daemon.board;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.daemon.cutlog.LoggedFault;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.DriveBegun;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.problem.Problem;

/** Holds what the board and the metrics say against what {@code fault_log} says. */
final class StationIncidentsTest {

  private static final Instant NOON = Instant.parse("2027-03-01T12:00:00Z");
  private static final int RUNS = 30;
  private static final int EVENTS = 80;

  @TempDir Path folder;

  private final ShopCounts shop = new ShopCounts();
  private Instant now = NOON;

  private CutLog open(String name) {
    CutLog log = CutLog.open(folder.resolve(name), new Wall());
    log.follow(shop::apply);
    return log;
  }

  /** Shows the time that the test has set. */
  private final class Wall extends Clock {
    @Override
    public ZoneId getZone() {
      return ZoneOffset.UTC;
    }

    @Override
    public Clock withZone(ZoneId zone) {
      return this;
    }

    @Override
    public Instant instant() {
      return now;
    }
  }

  private void say(CutLog log, int second, StationEvent event) {
    now = NOON.plusSeconds(second);
    log.append("saw1", List.of(event));
  }

  private StationIncidents saw1() {
    return shop.incidents().getOrDefault("saw1", StationIncidents.NONE);
  }

  private static CutBooked odd(CutKind kind, long count) {
    return new CutBooked("b", count, kind, 0, null, null, 0, null, null, null, null, "why", null);
  }

  @Test
  void timeInWhichTwoThingsWereWrongIsDownOnce() {
    try (CutLog log = open("two.db")) {
      say(log, 0, new LinkUp());
      say(log, 10, new FaultRaised("low-air", "Low air"));
      say(log, 20, new LinkDown("pulled"));
      say(log, 30, new FaultCleared("low-air"));
      assertThat(saw1().standing()).containsOnlyKeys(LoggedFault.LINK_DOWN);
      assertThat(saw1().downSince()).isEqualTo(NOON.plusSeconds(10));
      say(log, 50, new LinkUp());
      assertThat(saw1().standing()).isEmpty();
      assertThat(saw1().down()).isEqualTo(Duration.ofSeconds(40));
      say(log, 70, new FaultRaised("1", "Emergency stop"));
      assertThat(saw1().downUntil(NOON.plusSeconds(75))).isEqualTo(Duration.ofSeconds(45));
    }
  }

  @Test
  void aLostLinkIsSaidWithItsBeginningAndSoIsOneThatNeverCame() {
    try (CutLog log = open("link.db")) {
      say(log, 5, new DriveBegun("test"));
      assertThat(saw1().linkAwaitedSince()).isEqualTo(NOON.plusSeconds(5));
      assertThat(saw1().downSince()).as("starting is no fault").isNull();
      say(log, 6, new LinkUp());
      assertThat(saw1().linkAwaitedSince()).isNull();
      say(log, 60, new LinkDown("pulled"));
      say(log, 90, new DriveBegun("test"));
      assertThat(saw1().linkAwaitedSince()).isEqualTo(NOON.plusSeconds(60));
    }
  }

  @Test
  void aClockThatIsSetBackTakesNoDowntimeAway() {
    try (CutLog log = open("clock.db")) {
      say(log, 0, new FaultRaised("1", "Emergency stop"));
      say(log, 30, new FaultCleared("1"));
      say(log, 40, new FaultRaised("1", "Emergency stop"));
      say(log, -3600, new FaultCleared("1"));
      assertThat(saw1().down()).isEqualTo(Duration.ofSeconds(30));
    }
  }

  /** Whatever happens, downtime is the time that the rows of the fault log cover. */
  @Test
  void downtimeAddsUpToTheFaultLog() {
    for (int run = 0; run < RUNS; run++) {
      SplittableRandom random = new SplittableRandom(run);
      ShopCounts fold = new ShopCounts();
      int second = 0;
      List<LoggedFault> rows;
      try (CutLog log = CutLog.open(folder.resolve("run" + run + ".db"), new Wall())) {
        log.follow(fold::apply);
        for (int i = 0; i < EVENTS; i++) {
          second += random.nextInt(4);
          say(log, second, any(random, i));
        }
        rows = log.faults(NOON);
      }
      boolean[] covered = new boolean[second];
      for (LoggedFault row : rows) {
        Instant end = row.until() == null ? NOON.plusSeconds(second) : row.until();
        for (long s = row.since().getEpochSecond(); s < end.getEpochSecond(); s++) {
          covered[(int) (s - NOON.getEpochSecond())] = true;
        }
      }
      long down = 0;
      for (boolean each : covered) {
        down += each ? 1 : 0;
      }
      StationIncidents told = fold.incidents().getOrDefault("saw1", StationIncidents.NONE);
      assertThat(told.downUntil(NOON.plusSeconds(second)))
          .as("seed %d, rows %s", run, rows)
          .isEqualTo(Duration.ofSeconds(down));
      assertThat(rows.stream().filter(r -> r.until() == null).map(LoggedFault::code))
          .as("seed %d", run)
          .containsExactlyInAnyOrderElementsOf(told.standing().keySet());
    }
  }

  private static StationEvent any(SplittableRandom random, int i) {
    String code = "fault-" + random.nextInt(3);
    return switch (random.nextInt(5)) {
      case 0 -> new FaultRaised(code, "text");
      case 1 -> new FaultCleared(code);
      case 2 -> new LinkDown("pulled");
      case 3 -> new LinkUp();
      default -> odd(random.nextBoolean() ? CutKind.SUSPECT : CutKind.UNATTRIBUTED, i + 1);
    };
  }

  @Test
  void theBoardAndTheMetricsSayWhatStandsSinceWhenAndWhichCutsAreNoPart() throws IOException {
    Workshop sources = new Workshop();
    sources.stations = List.of(Workshop.stopped("saw1"));
    try (CutLog log = open("board.db")) {
      say(log, 0, new FaultRaised("1", "Emergency stop"));
      for (int i = 1; i <= 7; i++) {
        say(log, i, odd(i % 2 == 0 ? CutKind.SUSPECT : CutKind.UNATTRIBUTED, i));
      }
    }
    sources.incidents = shop.incidents();
    sources.counts = shop.byStation();
    BoardView view = BoardView.of(sources);

    JsonNode station =
        new JsonMapper().readTree(BoardJson.stations(view, NOON)).path("stations").path(0);
    assertThat(station.path("faults").path(0).path("since").asText())
        .isEqualTo("2027-03-01T12:00:00.000Z");
    assertThat(station.path("down_since").asText()).isEqualTo("2027-03-01T12:00:00.000Z");
    List<String> cuts = new ArrayList<>();
    station.path("odd_cuts").forEach(c -> cuts.add(c.path("kind").asText() + c.path("count")));
    assertThat(cuts)
        .containsExactly("unattributed7", "suspect6", "unattributed5", "suspect4", "unattributed3");

    String metrics =
        new String(Metrics.write(view, shop.byStation(), 0, NOON.plusSeconds(90)), UTF_8);
    assertThat(metrics)
        .contains("kerftally_downtime_seconds_total{station=\"saw1\"} 90.0")
        .contains("kerftally_cuts_total{kind=\"suspect\",station=\"saw1\"} 3.0")
        .contains("kerftally_cuts_total{kind=\"unattributed\",station=\"saw1\"} 4.0");
  }

  @Test
  void resultsThatCannotBeWrittenAreSaid() throws IOException {
    Workshop sources = new Workshop();
    sources.unwritten =
        List.of(
            new Problem(
                "results/supers/cuts.csv", 0, null, "cannot be written: disk full", "See to it."));
    BoardView view = BoardView.of(sources);
    JsonNode board = new JsonMapper().readTree(BoardJson.board(view, NOON));
    assertThat(board.path("unwritten").path("count").asInt()).isEqualTo(1);
    assertThat(board.path("unwritten").path("problem").asText()).contains("disk full");
    assertThat(new String(Metrics.write(view, Map.of(), 0, NOON), UTF_8))
        .contains("kerftally_results_unwritten 1.0");
  }
}
