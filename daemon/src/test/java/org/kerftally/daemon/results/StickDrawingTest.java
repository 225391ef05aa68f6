package org.kerftally.daemon.results;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.results.Jobs.KERF;
import static org.kerftally.daemon.results.Jobs.cut;
import static org.kerftally.daemon.results.Jobs.cuts;
import static org.kerftally.daemon.results.Jobs.sticks;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.results.StickDrawing.Kind;
import org.kerftally.daemon.results.StickDrawing.Run;
import org.kerftally.daemon.results.StickDrawing.Segment;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.PlannedSticks;

class StickDrawingTest {

  private static void assertAddsUp(StickDrawing drawing) {
    Length at = Length.ZERO;
    for (Segment segment : drawing.segments()) {
      assertThat(segment.from()).isEqualTo(at);
      assertThat(segment.length().isPositive()).isTrue();
      at = at.plus(segment.length());
    }
    assertThat(at).isEqualTo(drawing.length());
  }

  @Test
  void segmentsOfEverySampleAddUpToTheirStick() {
    for (PlannedSticks sticks : Samples.hivePlan().sticks()) {
      assertAddsUp(StickDrawing.of(sticks, KERF));
    }
    for (PlannedSticks sticks : Samples.greenhouse().plan().sticks()) {
      assertAddsUp(StickDrawing.of(sticks, Samples.INCH_RULES.kerf()));
    }
  }

  @Test
  void drawsTrimPartsKerfsAndRest() {
    StickDrawing drawing = StickDrawing.of(sticks(1, 2440, cut("a", 505), cut("b", 413)), KERF);
    assertThat(drawing.segments())
        .extracting(Segment::kind)
        .containsExactly(Kind.TRIM, Kind.PART, Kind.KERF, Kind.PART, Kind.KERF, Kind.OFFCUT);
    assertThat(drawing.segments().get(2).length()).isEqualTo(KERF);
    assertThat(drawing.segments().get(5).length()).isEqualTo(Length.ofNm(1_505_600_000));
  }

  @Test
  void theKerfComesFromThePlanWhenTheSawHasAnotherBladeNow() {
    StickDrawing drawing =
        StickDrawing.of(sticks(1, 2440, cuts(3, cut("a", 505))), Length.ofNm(2_400_000));
    assertThat(drawing.segments())
        .filteredOn(s -> s.kind() == Kind.KERF)
        .extracting(Segment::length)
        .containsOnly(KERF);
  }

  @Test
  void aFlushLastPieceHasNoKerfAndASliverHasLess() {
    StickDrawing flush =
        StickDrawing.of(
            sticks(1, Length.ofNm(1_023_200_000), Jobs.RULES, cuts(2, cut("a", 505))), KERF);
    assertThat(flush.segments().get(flush.segments().size() - 1).kind()).isEqualTo(Kind.PART);
    assertAddsUp(flush);
    StickDrawing sliver =
        StickDrawing.of(
            sticks(1, Length.ofNm(1_024_200_000), Jobs.RULES, cuts(2, cut("a", 505))), KERF);
    assertThat(sliver.segments().get(sliver.segments().size() - 1).length())
        .isEqualTo(Length.ofMm(1));
    assertAddsUp(sliver);
  }

  @Test
  void equalPartsInARowAreOneRun() {
    List<Run> runs =
        StickDrawing.of(
                sticks(1, 2440, cut("a", 500), cut("a", 500), cut("b", 500), cut("a", 500)), KERF)
            .runs();
    assertThat(runs).extracting(Run::numbers).containsExactly("1–2", "3", "4");
    assertThat(runs.get(0).from()).isEqualTo(Length.ofMm(10));
    assertThat(runs.get(0).to()).isEqualTo(Length.ofNm(1_013_200_000));
  }

  @Test
  void patternsAreNamedLikeColumns() {
    assertThat(List.of(PatternName.of(0), PatternName.of(25), PatternName.of(26)))
        .containsExactly("A", "Z", "AA");
    assertThat(PatternName.of(701)).isEqualTo("ZZ");
    assertThat(PatternName.of(702)).isEqualTo("AAA");
  }
}
