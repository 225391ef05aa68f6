package org.kerftally.daemon.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobWithdrawn;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.length.Length;

class ShopCountsTest {

  private static final Length SIDE = Length.ofMm(505);

  private final List<Recorded> log =
      List.of(
          said("saw1", new TargetSet(1, "j", 1, null, SIDE, SIDE, Workshop.NOW)),
          said("saw1", cut(CutKind.TRIM)),
          said("saw1", new TargetSet(2, "j", 1, "super side", SIDE, SIDE, Workshop.NOW)),
          said("saw1", cut(CutKind.PART)),
          said("saw1", new PieceRemained("j", "super side", 1, SIDE)),
          said("saw1", new PieceRejected(1, null, 0, "j", "super side")),
          said("saw1", new FaultRaised("1", "Emergency stop")),
          said("saw1", new FaultCleared("1")),
          said("saw2", cut(CutKind.SUSPECT)),
          said(null, new JobWithdrawn("k", "a newer revision")));

  @Test
  void eachStationCountsItsOwn() {
    StationCounts saw1 = fold().byStation().getOrDefault("saw1", StationCounts.NONE);
    assertThat(saw1.cuts(CutKind.TRIM)).isEqualTo(1);
    assertThat(saw1.cuts(CutKind.PART)).isEqualTo(1);
    assertThat(saw1.cuts(CutKind.SUSPECT)).isZero();
    assertThat(saw1.targets()).isEqualTo(2);
    assertThat(saw1.faults()).isEqualTo(1);
    StationCounts saw2 = fold().byStation().getOrDefault("saw2", StationCounts.NONE);
    assertThat(saw2.cuts(CutKind.SUSPECT)).isEqualTo(1);
    assertThat(saw2.made()).isZero();
  }

  @Test
  void aRejectedPartStaysCountedAsMadeSoThatNoCounterFalls() {
    StationCounts saw1 = fold().byStation().getOrDefault("saw1", StationCounts.NONE);
    assertThat(saw1.made()).isEqualTo(2);
    assertThat(saw1.rejected()).isEqualTo(1);
  }

  @Test
  void aReplayCountsTheSame() {
    assertThat(fold().byStation()).isEqualTo(fold().byStation()).hasSize(2);
  }

  private ShopCounts fold() {
    ShopCounts counts = new ShopCounts();
    log.forEach(counts::apply);
    return counts;
  }

  private static Recorded said(@Nullable String station, Event event) {
    return new Recorded(1, Workshop.NOW, station, event);
  }

  private static CutBooked cut(CutKind kind) {
    return new CutBooked("b", 1, kind, 0, null, null, 0, null, null, null, null, null, null);
  }
}
