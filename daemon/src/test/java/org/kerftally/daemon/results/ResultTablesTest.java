package org.kerftally.daemon.results;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.cutlog.LoggedCut;
import org.kerftally.daemon.intake.StockFileReader;
import org.kerftally.daemon.intake.StockReading;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.stock.Offcut;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

class ResultTablesTest {

  @Test
  void countsNameLengthsInTheJobsUnitAndInMillimetres() {
    Jobs.Log log = new Jobs.Log();
    JobOrder order =
        Jobs.order(
            "x",
            LengthUnit.IN,
            new Part("=rafter", Samples.inches(12, 32), 4, "alu", 1, null),
            Jobs.part("side", 505, 2));
    JobTally tally = TallyFold.taken(log.taken(order, Jobs.plan()), order, "saw1", Jobs.plan());
    assertThat(ResultTables.counts(tally))
        .isEqualTo(
            """
            part,material,length,wanted,made,rejected,short,length_mm
            '=rafter,alu,12-1/2 in,4,0,0,0,317.5
            side,pine-19x146,≈ 19.8819 in,2,0,0,0,505
            """
                .replace("\n", "\r\n"));
  }

  @Test
  void cutsHaveTheColumnsOfTheCutLog() {
    Instant at = Instant.parse("2027-03-01T09:15:02.100Z");
    LoggedCut cut =
        new LoggedCut(
            at,
            "saw1",
            "b1",
            12L,
            17L,
            "x",
            "side",
            1,
            Length.ofMm(505),
            Length.ofNm(505_020_000),
            CutKind.REJECTED,
            at.plusMillis(17));
    LoggedCut remained =
        new LoggedCut(
            at, "saw1", null, null, null, "x", "side", 1, Length.ofMm(505), null, CutKind.PART, at);
    assertThat(ResultTables.cuts(List.of(cut, remained)))
        .isEqualTo(
            """
            at,station,boot,count,seq,job,part,stick,wanted_mm,actual_mm,kind,booked_at
            2027-03-01T09:15:02.100Z,saw1,b1,12,17,x,side,1,505,505.02,rejected,2027-03-01T09:15:02.117Z
            2027-03-01T09:15:02.100Z,saw1,,,,x,side,1,505,,part,2027-03-01T09:15:02.100Z
            """
                .replace("\n", "\r\n"));
  }

  @Test
  void offcutsAreAStockFileWithExactLengths() {
    assertThat(
            ResultTables.offcuts(
                List.of(
                    new Offcut("saw1-1", "pine, planed", Length.ofNm(412_600_001), "x"),
                    new Offcut("saw1-2", "", Samples.inches(26, 30), "y"))))
        .isEqualTo(
            """
            material,length,qty,cost,kind,label
            "pine, planed",412.600001 mm,1,,offcut,saw1-1
            ,672.30625 mm,1,,offcut,saw1-2
            """
                .replace("\n", "\r\n"));
  }

  @Test
  void offcutsReadBackAsStockExactly() {
    List<Offcut> offcuts =
        List.of(
            new Offcut("saw1-1", "pine, planed", Length.ofNm(412_600_001), "x"),
            new Offcut("saw1-2", "alu \"T\" 1.5", Samples.inches(26, 30), "y"));
    StockReading reading =
        StockFileReader.read(ResultTables.offcuts(offcuts).getBytes(UTF_8), "offcuts.csv");
    assertThat(reading)
        .isEqualTo(
            new StockReading.Good(
                offcuts.stream()
                    .map(
                        o ->
                            new StockItem(
                                o.material(), o.length(), 1, null, StickKind.OFFCUT, o.label()))
                    .toList()));
    assertThat(StockFileReader.read(ResultTables.offcuts(List.of()).getBytes(UTF_8), "o.csv"))
        .isEqualTo(new StockReading.Good(List.of()));
  }
}
