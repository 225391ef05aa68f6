package org.kerftally.daemon.results;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;
import static org.kerftally.daemon.results.Jobs.PINE;
import static org.kerftally.daemon.results.Jobs.SAW;
import static org.kerftally.daemon.results.Jobs.cut;
import static org.kerftally.daemon.results.Jobs.cuts;
import static org.kerftally.daemon.results.Jobs.order;
import static org.kerftally.daemon.results.Jobs.part;
import static org.kerftally.daemon.results.Jobs.plan;
import static org.kerftally.daemon.results.Jobs.sticks;

import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Clock;
import java.time.Duration;
import java.time.ZoneOffset;
import java.util.List;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.daemon.cutlog.JobCount;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.event.ShopEvent.JobWithdrawn;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.JobReopened;
import org.kerftally.shared.event.StationEvent.JobStarted;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.Offcut;
import org.kerftally.shared.stock.StickKind;

class ResultsWriterTest {

  private static final Length SIDE = Length.ofMm(505);
  private static final PlannedSticks STICK = sticks(1, 2440, cuts(4, cut("side", 505)));
  private static final JobOrder JOB = order("supers", part("side", 505, 4));
  private static final CutPlan PLAN = plan(STICK);

  @TempDir Path folder;

  private final AtomicLong nanos = new AtomicLong(1);
  private final Jobs.Log cutter = new Jobs.Log();
  private CutLog log;
  private ResultsWriter writer;

  @BeforeEach
  void open() {
    log = CutLog.open(folder.resolve("kerftally.db"), Clock.systemUTC());
    writer = writer();
    log.subscribe(writer::accept);
  }

  @AfterEach
  void close() {
    log.close();
  }

  private ResultsWriter writer() {
    ResultsSite site =
        new ResultsSite(folder, (station, m) -> Jobs.RULES, job -> log.cuts(job), ZoneOffset.UTC);
    return new ResultsWriter(site, nanos::get);
  }

  private void say(Event... events) {
    log.append(SAW, List.of(events));
  }

  private void settle(ResultsWriter each) {
    while (!each.settled()) {
      each.doWork();
      nanos.addAndGet(Math.max(0, each.nanosUntilWork()));
    }
  }

  private Path result(String job, String file) {
    return folder.resolve("results").resolve(job).resolve(file);
  }

  private Event made(int nth) {
    Length left = Length.ofMm(2430).minus(SIDE.times(nth)).minus(Length.ofNm(3_200_000).times(nth));
    return cutter.booked(CutKind.PART, "supers", 1, "side", SIDE, left);
  }

  private void start() {
    say(
        new JobTaken(JOB, SAW, PLAN),
        new JobQueued(JOB, PLAN),
        new JobStarted("supers"),
        new StickLoaded("supers", 1, STICK, STICK.length(), 1));
  }

  private void finish() {
    say(made(1), made(2), made(3), made(4));
    Offcut offcut = new Offcut("saw1-1", PINE, STICK.rest(), "supers");
    say(new StickDone("supers", 1, STICK.rest(), offcut), new JobEnded("supers", List.of()));
  }

  @Test
  void keepsTheFilesOfAJobAndTheOffcutsToHand() throws IOException {
    start();
    settle(writer);
    assertThat(result("supers", "counts.csv"))
        .content()
        .isEqualTo(
            """
            part,material,length,wanted,made,rejected,short,length_mm
            side,pine-19x146,505 mm,4,0,0,0,505
            """
                .replace("\n", "\r\n"));
    assertThat(result("supers", "sheet.html")).content().contains("<h1>Job supers</h1>");
    assertThat(new JsonMapper().readTree(result("supers", "plan.json").toFile()).get("kerf_mm"))
        .hasToString("3.2");
    assertThat(folder.resolve("offcuts.csv")).hasContent("material,length,qty,cost,kind,label");
    finish();
    settle(writer);
    assertThat(result("supers", "counts.csv")).content().contains(",4,4,0,0,505\r\n");
    assertThat(Files.readAllLines(result("supers", "cuts.csv"))).hasSize(5);
    assertThat(folder.resolve("offcuts.csv"))
        .content()
        .contains("pine-19x146,397.2 mm,1,,offcut,saw1-1\r\n");
    assertThat(writer.problems()).isEmpty();
  }

  @Test
  void anOffcutThatIsLoadedIsNotToHandAnyMore() {
    start();
    finish();
    PlannedSticks again =
        new PlannedSticks(
            PINE,
            STICK.rest(),
            StickKind.OFFCUT,
            "saw1-1",
            STICK.cost(),
            1,
            Length.ofMm(10),
            List.of(cut("leg", 100)),
            Length.ofMm(284),
            null);
    JobOrder next = order("stands", part("leg", 100, 1));
    say(
        new JobTaken(next, SAW, plan(again)),
        new JobQueued(next, plan(again)),
        new JobStarted("stands"),
        new StickLoaded("stands", 1, again, again.length(), 2));
    settle(writer);
    assertThat(folder.resolve("offcuts.csv")).hasContent("material,length,qty,cost,kind,label");
  }

  @Test
  void aBurstOfCutsIsOneWrite() throws IOException {
    start();
    settle(writer);
    say(made(1));
    settle(writer);
    FileTime old = FileTime.fromMillis(1_000_000);
    Files.setLastModifiedTime(result("supers", "cuts.csv"), old);
    say(made(2));
    say(made(3));
    say(made(4));
    assertThat(writer.doWork()).isZero();
    assertThat(Files.getLastModifiedTime(result("supers", "cuts.csv"))).isEqualTo(old);
    assertThat(writer.settled()).isFalse();
    nanos.addAndGet(writer.nanosUntilWork());
    writer.doWork();
    assertThat(Files.readAllLines(result("supers", "cuts.csv"))).hasSize(5);
    settle(writer);
  }

  @Test
  void whatWentWrongWhileAJobWasCutIsListedWithBeginningAndEnd() throws IOException {
    start();
    say(new FaultRaised("low-air", "Air pressure is low"), new FaultCleared("low-air"));
    say(new LinkDown("cable pulled"), new LinkUp());
    say(odd(7, CutKind.UNATTRIBUTED, "counted by the device while unseen"));
    say(odd(8, CutKind.SUSPECT, "no target was active"));
    say(new FaultRaised("1", "Emergency stop"));
    settle(writer);
    List<String> lines = Files.readAllLines(result("supers", "incidents.csv"));
    assertThat(lines.get(0)).isEqualTo("since,until,station,code,text");
    assertThat(lines.stream().skip(1).map(l -> l.replaceAll("[0-9-]+T[0-9:.]+Z", "T")))
        .containsExactly(
            "T,T,saw1,low-air,Air pressure is low",
            "T,T,saw1,link-down,The link was lost: cable pulled",
            "T,T,saw1,unattributed-cut,Saw cycle 7 of b1: counted by the device while unseen",
            "T,T,saw1,suspect-cut,Saw cycle 8 of b1: no target was active",
            "T,,saw1,1,Emergency stop");
  }

  @Test
  void theEndOfAFaultIsWrittenAlsoWhereItComesAfterTheJobs() throws IOException {
    start();
    say(new FaultRaised("1", "Emergency stop"), new JobEnded("supers", List.of()));
    settle(writer);
    assertThat(incident()).isEqualTo("T,,saw1,1,Emergency stop");

    say(new FaultCleared("1"));
    settle(writer);

    assertThat(incident()).isEqualTo("T,T,saw1,1,Emergency stop");
  }

  private String incident() throws IOException {
    List<String> lines = Files.readAllLines(result("supers", "incidents.csv"));
    assertThat(lines).hasSize(2);
    return lines.get(1).replaceAll("[0-9-]+T[0-9:.]+Z", "T");
  }

  private static Event odd(long count, CutKind kind, String remark) {
    return new CutBooked("b1", count, kind, 0, null, null, 0, null, null, null, null, remark, null);
  }

  @Test
  void theFilesOfARestartAreThoseOfARunWithoutOne() throws IOException {
    start();
    say(made(1), made(2));
    settle(writer);
    FileTime old = FileTime.fromMillis(1_000_000);
    for (JobFile file : JobFile.values()) {
      Files.setLastModifiedTime(result("supers", file.fileName()), old);
    }
    Files.writeString(result("supers", "counts.csv"), "half a fi");
    ResultsWriter restarted = writer();
    log.replay(restarted::accept);
    settle(restarted);
    assertThat(result("supers", "counts.csv")).content().contains(",4,2,0,0,505\r\n");
    for (String same : List.of("plan.json", "sheet.html", "cuts.csv")) {
      assertThat(Files.getLastModifiedTime(result("supers", same))).as(same).isEqualTo(old);
    }
  }

  @Test
  void whatCannotBeWrittenIsToldAndWrittenOnceItCan() throws IOException {
    Files.createDirectories(folder.resolve("results"));
    Files.writeString(folder.resolve("results/supers"), "in the way");
    start();
    while (writer.doWork() > 0) {
      nanos.incrementAndGet();
    }
    assertThat(writer.problems()).hasSize(JobFile.values().length);
    assertThat(writer.problems().get(0).text())
        .contains("results", "supers", "cannot be written", "tried again by itself");
    assertThat(folder.resolve("offcuts.csv")).exists();
    finish();
    assertThat(writer.settled()).isFalse();
    Files.delete(folder.resolve("results/supers"));
    settle(writer);
    assertThat(writer.problems()).isEmpty();
    assertThat(result("supers", "counts.csv")).content().contains(",4,4,0,0,505\r\n");
  }

  @Test
  void aReplanChangesTheSheetAndIsAddedToThePlan() throws IOException {
    start();
    say(made(1), made(2), made(3), made(4));
    say(new PieceRejected(1, "b1", cutter.lastCount(), "supers", "side"));
    CutPlan rest = plan(sticks(1, 2440, cut("side", 505)));
    say(new Replanned("supers", "a piece was rejected", rest));
    settle(writer);
    var json = new JsonMapper().readTree(result("supers", "plan.json").toFile());
    assertThat(json.get("sticks").get(0).get("cuts")).hasSize(4);
    assertThat(json.get("rest").get("sticks").get(0).get("cuts")).hasSize(1);
    assertThat(result("supers", "sheet.html"))
        .content()
        .contains("Plan 2 for the rest of the job, made because a piece was rejected.");
    assertThat(result("supers", "cuts.csv")).content().contains(",rejected,");
    assertThat(result("supers", "counts.csv")).content().contains(",4,3,1,0,505\r\n");
  }

  @Test
  void aWithdrawnJobSaysSoOnItsSheet() {
    log.append(null, List.of(new JobTaken(JOB, SAW, PLAN)));
    log.append(null, List.of(new JobWithdrawn("supers", "a newer revision")));
    settle(writer);
    assertThat(result("supers", "sheet.html")).content().contains("Do not cut it.");
  }

  @Test
  void countsAgreeWithTheCutLogsOwn() {
    start();
    finish();
    say(new PieceRejected(1, "b1", cutter.lastCount(), "supers", "side"));
    say(new JobReopened("supers"));
    CutPlan rest = plan(sticks(1, 2440, cut("side", 505)));
    say(new Replanned("supers", "the last piece was rejected", rest));
    say(cutter.booked(CutKind.SUSPECT, null, 0, null, null, null));
    say(new StickLoaded("supers", 2, rest.sticks().get(0), Length.ofMm(2440), 2), made(1));
    settle(writer);
    JobTallies fold = new JobTallies();
    log.replay(fold::apply);
    for (JobCount count : log.jobCounts("supers")) {
      PartCount ours = fold.get("supers").orElseThrow().parts().get(0);
      assertThat(count.made()).isEqualTo(ours.made());
      assertThat(count.rejected()).isEqualTo(ours.rejected());
      assertThat(result("supers", "counts.csv"))
          .content()
          .contains(",4," + count.made() + "," + count.rejected() + ",0,505\r\n");
    }
  }

  /** The subscriber must never wait for the disk; here the owner writes while cuts are booked. */
  @Test
  void cutsBookedWhileItWritesAreWrittenInTheEnd() throws Exception {
    int pieces = 300;
    JobOrder big = order("big", part("side", 505, pieces));
    PlannedSticks many = sticks(75, 2440, cuts(4, cut("side", 505)));
    AtomicBoolean stop = new AtomicBoolean();
    Thread owner =
        new Thread(
            () -> {
              while (!stop.get()) {
                writer.doWork();
                nanos.addAndGet(1_000_000);
              }
            },
            "results");
    owner.start();
    try {
      say(new JobTaken(big, SAW, plan(many)), new JobQueued(big, plan(many)));
      say(new JobStarted("big"));
      for (int i = 0; i < pieces; i++) {
        say(cutter.booked(CutKind.PART, "big", 1, "side", SIDE, Length.ofMm(1000)));
      }
      await().atMost(Duration.ofSeconds(60)).until(writer::settled);
    } finally {
      stop.set(true);
      owner.join();
    }
    assertThat(Files.readAllLines(result("big", "cuts.csv"))).hasSize(pieces + 1);
    assertThat(result("big", "counts.csv")).content().contains(",300,300,0,0,505\r\n");
  }

  @Test
  void aNameThatLeavesTheFolderIsRefusedLoudly() {
    ResultsSite site =
        new ResultsSite(folder, (s, m) -> Jobs.RULES, job -> List.of(), ZoneOffset.UTC);
    for (String evil : List.of("../x", "a/b", "..", ".", "")) {
      org.assertj.core.api.Assertions.assertThatThrownBy(() -> site.jobFolder(evil))
          .isInstanceOf(IllegalStateException.class);
    }
    assertThat(site.jobFolder("supers.2")).isEqualTo(folder.resolve("results/supers.2"));
  }
}
