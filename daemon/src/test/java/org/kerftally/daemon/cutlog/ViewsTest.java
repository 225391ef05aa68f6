package org.kerftally.daemon.cutlog;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.kerftally.daemon.cutlog.Samples.NOON;
import static org.kerftally.daemon.cutlog.Samples.cut;
import static org.kerftally.daemon.cutlog.Samples.order;
import static org.kerftally.daemon.cutlog.Samples.part;
import static org.kerftally.daemon.cutlog.Samples.plan;

import java.math.BigDecimal;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.ShopEvent.JobWithdrawn;
import org.kerftally.shared.event.ShopEvent.StockStated;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.MoveDone;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.event.StationEvent.TargetAccepted;
import org.kerftally.shared.event.StationEvent.TargetRefused;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.event.StationEvent.TargetVoided;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.Offcut;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/** Reads the views as an office program would: through a connection of its own, by name. */
final class ViewsTest {

  private static final String AT = "2027-03-01T12:00:00.000Z";

  @TempDir Path folder;
  private CutLog log;

  @BeforeEach
  void open() {
    log = CutLog.open(folder.resolve("kerftally.db"), Clock.fixed(NOON, ZoneOffset.UTC));
  }

  @AfterEach
  void agree() {
    assertThat(log.verify()).isEmpty();
    log.close();
  }

  private void saw1(Event... events) {
    log.append("saw1", List.of(events));
  }

  private List<List<Object>> rows(String sql) throws SQLException {
    List<List<Object>> rows = new ArrayList<>();
    try (Connection office =
            DriverManager.getConnection("jdbc:sqlite:" + folder + "/kerftally.db");
        var statement = office.createStatement();
        var found = statement.executeQuery(sql)) {
      while (found.next()) {
        List<Object> row = new ArrayList<>();
        for (int i = 1; i <= found.getMetaData().getColumnCount(); i++) {
          row.add(found.getObject(i));
        }
        rows.add(row);
      }
    }
    return rows;
  }

  private static List<@Nullable Object> row(@Nullable Object... cells) {
    return Arrays.asList(cells);
  }

  private String columns(String view) throws SQLException {
    return rows("SELECT group_concat(name, ', ') FROM pragma_table_info('" + view + "')")
        .get(0)
        .get(0)
        .toString();
  }

  @Test
  void theViewsHaveTheColumnsThatAreReliedOn() throws SQLException {
    assertThat(columns("cut_log"))
        .isEqualTo(
            "at, station, boot, count, seq, job, part, stick, wanted_mm, actual_mm, kind,"
                + " booked_at");
    assertThat(columns("target_log"))
        .isEqualTo("seq, station, job, part, position_mm, sent_at, answered_at, purpose");
    assertThat(columns("job_counts")).isEqualTo("job, part, wanted, made, rejected, short");
    assertThat(columns("fault_log")).isEqualTo("station, code, text, since, until");
    assertThat(columns("offcuts")).isEqualTo("label, material, length_mm, job, state");
  }

  @Test
  void aCutIsShownWithTheDevicesTimeElseTheTimeOfBooking() throws SQLException {
    Length third = Length.ofNm(505_333_333);
    Instant cutAt = Instant.parse("2027-03-01T11:59:58.117999Z");
    saw1(
        new CutBooked(
            "b7",
            8,
            CutKind.PART,
            17,
            "supers",
            "side",
            2,
            Length.ofMm(505),
            third,
            third,
            cutAt,
            null,
            null),
        new CutBooked(
            "b7",
            9,
            CutKind.SUSPECT,
            0,
            null,
            null,
            0,
            null,
            null,
            Length.ofMm(1),
            null,
            "why",
            null));
    assertThat(rows("SELECT * FROM cut_log"))
        .containsExactly(
            row(
                "2027-03-01T11:59:58.117Z",
                "saw1",
                "b7",
                8,
                17,
                "supers",
                "side",
                2,
                505.0,
                505.333333,
                "part",
                AT),
            row(AT, "saw1", "b7", 9, 0, null, null, null, null, null, "suspect", AT));
  }

  @Test
  void aPieceThatRemainedIsAPartWithoutACycle() throws SQLException {
    saw1(new PieceRemained("supers", "side", 2, Length.ofMm(505)));
    assertThat(rows("SELECT * FROM cut_log"))
        .containsExactly(
            row(AT, "saw1", null, null, null, "supers", "side", 2, 505.0, 505.0, "part", AT));
  }

  @Test
  void aRejectedPieceTurnsItsOwnRow() throws SQLException {
    log.append(
        null, List.of(new JobTaken(order("supers", part("super side", 505, 9)), "saw1", plan())));
    saw1(
        cut("b1", 1),
        cut("b1", 2),
        new PieceRemained("supers", "super side", 1, Length.ofMm(505)),
        new PieceRemained("supers", "super side", 2, Length.ofMm(505)),
        new PieceRejected(1, "b1", 2, "supers", "super side"),
        new PieceRejected(2, null, 0, "supers", "super side"));
    assertThat(rows("SELECT count, stick, kind FROM cut_log"))
        .containsExactly(
            row(1, 1, "part"),
            row(2, 1, "rejected"),
            row(null, 1, "part"),
            row(null, 2, "rejected"));
    assertThat(rows("SELECT * FROM job_counts"))
        .containsExactly(row("supers", "super side", 9, 2, 2, 0));
    assertThat(log.jobCounts("supers"))
        .containsExactly(new JobCount("supers", "super side", 9, 2, 2, 0));
    assertThat(log.cuts("supers"))
        .extracting(LoggedCut::kind)
        .containsExactly(CutKind.PART, CutKind.REJECTED, CutKind.PART, CutKind.REJECTED);
  }

  @Test
  void aPieceIsRejectedOnceAndOnlyWhenItWasMade() {
    saw1(cut("b1", 1), new PieceRejected(1, "b1", 1, "supers", "super side"));
    for (PieceRejected wrong :
        List.of(
            new PieceRejected(2, "b1", 1, "supers", "super side"),
            new PieceRejected(2, "b1", 7, "supers", "super side"),
            new PieceRejected(2, null, 0, "supers", "super side"))) {
      assertThatThrownBy(() -> saw1(wrong)).isInstanceOf(IllegalStateException.class);
    }
  }

  @Test
  void linesOfOneNameAreCountedTogetherAndTrimsNotAtAll() throws SQLException {
    log.append(
        null,
        List.of(
            new JobTaken(
                order("j", part("leg", 400, 4), part("rail", 700, 2), part("leg", 410, 3)),
                "saw1",
                plan())));
    Length trim = Length.ofMm(10);
    saw1(
        cut("b1", 1, "j", "leg"),
        new CutBooked("b1", 2, CutKind.TRIM, 2, "j", null, 1, trim, trim, trim, null, null, null),
        new CutBooked(
            "b1", 3, CutKind.SUSPECT, 3, "j", "leg", 1, trim, trim, trim, null, "off", null),
        cut("b1", 4, "j", "leg"));
    assertThat(rows("SELECT * FROM job_counts"))
        .containsExactly(row("j", "leg", 7, 2, 0, 0), row("j", "rail", 2, 0, 0, 0));
  }

  @Test
  void whatIsShortFollowsTheNewestPlanAndThenTheEnd() throws SQLException {
    Shortage one = new Shortage("leg", "pine-19x146", Length.ofMm(400), 1);
    Shortage three = new Shortage("leg", "pine-19x146", Length.ofMm(400), 3);
    String sql = "SELECT short FROM job_counts";
    log.append(null, List.of(new JobTaken(order("j", part("leg", 400, 4)), "saw1", plan(one))));
    assertThat(rows(sql)).containsExactly(row(1));
    saw1(new JobQueued(order("j", part("leg", 400, 4)), plan(one)));
    assertThat(rows(sql)).containsExactly(row(1));
    saw1(new Replanned("j", "defect", plan(one, three)));
    assertThat(rows(sql)).containsExactly(row(4));
    saw1(new JobEnded("j", List.of(three)));
    assertThat(rows(sql)).containsExactly(row(3));
  }

  @Test
  void aWithdrawnJobIsWantedNoMore() throws SQLException {
    log.append(null, List.of(new JobTaken(order("j", part("leg", 400, 4)), "saw1", plan())));
    log.append(null, List.of(new JobWithdrawn("j", "newer revision")));
    assertThat(rows("SELECT * FROM job_counts")).isEmpty();
    assertThat(rows("SELECT job, state FROM job")).containsExactly(row("j", "withdrawn"));
  }

  @Test
  void aTargetIsShownWithItsFirstAnswer() throws SQLException {
    for (int seq = 1; seq <= 4; seq++) {
      String part = seq == 1 ? null : "leg";
      saw1(new TargetSet(seq, "j", 1, part, Length.ofMm(400), Length.ofNm(400_050_000), NOON));
    }
    saw1(
        new TargetAccepted(1),
        new TargetRefused(2, "not homed"),
        new TargetVoided(3, "not answered in time"));
    assertThat(rows("SELECT * FROM target_log"))
        .containsExactly(
            row(1, "saw1", "j", null, 400.05, AT, AT, "cut"),
            row(2, "saw1", "j", "leg", 400.05, AT, AT, "cut"),
            row(3, "saw1", "j", "leg", 400.05, AT, null, "cut"),
            row(4, "saw1", "j", "leg", 400.05, AT, null, "cut"));
  }

  @Test
  void aMoveToWhereNothingIsCutSaysSoAndWhetherItWasDone() throws SQLException {
    Length at = Length.ofMm(505);
    saw1(
        new MoveSet(1, StopMove.RETRACT, "j", at, at, NOON),
        new TargetAccepted(1),
        new MoveDone(1),
        new MoveSet(2, StopMove.PARK, null, at, at, NOON),
        new TargetRefused(2, "not homed"));
    assertThat(rows("SELECT * FROM target_log"))
        .containsExactly(
            row(1, "saw1", "j", null, 505.0, AT, AT, "retract"),
            row(2, "saw1", null, null, 505.0, AT, AT, "park"));
    assertThat(rows("SELECT done_at, reason FROM target"))
        .containsExactly(row(AT, null), row(null, "not homed"));
  }

  @Test
  void aFaultStandsOnceUntilItIsCleared() throws SQLException {
    saw1(
        new FaultRaised("1", "Emergency stop"),
        new FaultRaised("1", "Emergency stop"),
        new FaultRaised("4", "Low air pressure"),
        new FaultCleared("1"),
        new FaultCleared("7"),
        new FaultRaised("1", "Emergency stop"));
    assertThat(rows("SELECT * FROM fault_log"))
        .containsExactly(
            row("saw1", "1", "Emergency stop", AT, AT),
            row("saw1", "4", "Low air pressure", AT, null),
            row("saw1", "1", "Emergency stop", AT, null));
    assertThat(log.faults(NOON)).hasSize(3);
    assertThat(log.faults(NOON.plusSeconds(1)))
        .extracting(LoggedFault::code)
        .containsExactly("4", "1");
  }

  @Test
  void aLostLinkAndASawCycleThatIsNoPartStandInTheFaultLogToo() throws SQLException {
    saw1(
        new LinkDown("cable pulled"),
        new LinkDown("still away"),
        new LinkUp(),
        odd(1, CutKind.UNATTRIBUTED, "counted by the device while unseen"),
        odd(2, CutKind.SUSPECT, null));
    assertThat(rows("SELECT * FROM fault_log"))
        .containsExactly(
            row("saw1", "link-down", "The link was lost: cable pulled", AT, AT),
            row(
                "saw1",
                "unattributed-cut",
                "Saw cycle 1 of b1: counted by the device while unseen",
                AT,
                AT),
            row("saw1", "suspect-cut", "Saw cycle 2 of b1", AT, AT));
    assertThat(log.faults(NOON)).hasSize(3);
  }

  private static CutBooked odd(long count, CutKind kind, @Nullable String remark) {
    return new CutBooked("b1", count, kind, 0, null, null, 0, null, null, null, null, remark, null);
  }

  @Test
  void anOffcutIsToHandThenUsedOrListedByTheOffice() throws SQLException {
    for (String label : List.of("saw1-1", "saw1-2", "saw1-3")) {
      Offcut offcut = new Offcut(label, "pine", Length.ofNm(812_500_000), "j");
      saw1(new StickDone("j", 1, offcut.length(), offcut));
    }
    StockItem listed = new StockItem("pine", Length.ofMm(812), 1, null, StickKind.OFFCUT, "saw1-2");
    log.append(null, List.of(new StockStated("", List.of(listed))));
    PlannedSticks stick =
        new PlannedSticks(
            "pine",
            Length.ofNm(812_500_000),
            StickKind.OFFCUT,
            "saw1-1",
            BigDecimal.ZERO,
            1,
            Length.ZERO,
            List.of(),
            Length.ZERO,
            null);
    saw1(new StickLoaded("k", 1, stick, stick.length(), 1));
    assertThat(rows("SELECT * FROM offcuts"))
        .containsExactly(
            row("saw1-1", "pine", 812.5, "j", "used"),
            row("saw1-2", "pine", 812.5, "j", "listed"),
            row("saw1-3", "pine", 812.5, "j", "to-hand"));
    assertThat(log.offcuts())
        .extracting(LoggedOffcut::state)
        .containsExactly(
            LoggedOffcut.State.USED, LoggedOffcut.State.LISTED, LoggedOffcut.State.TO_HAND);
    assertThatThrownBy(
            () ->
                saw1(
                    new StickDone(
                        "j", 1, Length.ZERO, new Offcut("saw1-1", "pine", Length.ofMm(1), "j"))))
        .isInstanceOf(IllegalStateException.class);
  }

  /** A view's millimetres are the double nearest to the exact length, as its decimal text is. */
  @Test
  void millimetresInViewsAreTheNearestDoubles() throws SQLException {
    long[] lengthsNm = {1, 396_875, 25_400_000, 505_000_001, 999_999_999_999L, -3_200_000};
    for (int i = 0; i < lengthsNm.length; i++) {
      saw1(new PieceRemained("j", "leg", i + 1, Length.ofNm(lengthsNm[i])));
    }
    List<List<Object>> shown = rows("SELECT actual_mm FROM cut_log");
    for (int i = 0; i < lengthsNm.length; i++) {
      assertThat(shown.get(i))
          .containsExactly(Double.parseDouble(Length.ofNm(lengthsNm[i]).toMm().toPlainString()));
    }
  }
}
