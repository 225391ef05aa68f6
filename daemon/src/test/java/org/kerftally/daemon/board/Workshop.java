package org.kerftally.daemon.board;

import java.math.BigDecimal;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.folder.InboxState;
import org.kerftally.daemon.intake.folder.InboxState.Refusal;
import org.kerftally.daemon.intake.folder.InboxState.Waiting;
import org.kerftally.daemon.intake.folder.StockState;
import org.kerftally.daemon.results.Incidents;
import org.kerftally.daemon.results.JobStatus;
import org.kerftally.daemon.results.JobTally;
import org.kerftally.daemon.results.PartCount;
import org.kerftally.daemon.results.StickUse;
import org.kerftally.daemon.service.StationView;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.problem.Problem;
import org.kerftally.shared.stock.StickKind;

/** A workshop that makes beehive woodware and greenhouse frames, as a board's sources. */
final class Workshop implements BoardSources {

  static final Instant NOW = Instant.parse("2027-03-01T09:27:30Z");
  static final String PINE = "pine-19x146";

  volatile Instant now = NOW;
  volatile @Nullable String notReady;
  volatile List<StationView> stations = List.of(cutting("saw1", "comb-honey-supers"));
  volatile List<JobTally> jobs =
      List.of(
          frames("hoffman-frames", JobStatus.COMPLETE),
          supers("comb-honey-supers", "Comb honey supers", 34),
          greenhouse("greenhouse-north", JobStatus.WAITING));
  volatile InboxState inbox =
      new InboxState(
          null,
          List.of(new Waiting("hive stands.csv", "is still growing")),
          List.of(
              new Refusal(
                  "lids.csv",
                  "lids.csv",
                  NOW.minusSeconds(1500),
                  List.of(
                      new Problem("lids.csv", 7, "length", "-12 is not a length above zero", null)),
                  3)));
  volatile StockState stock = new StockState("ab", List.of(), null);
  volatile OffcutTotals offcuts = new OffcutTotals(14, Length.ofMm(9_412));
  volatile Map<String, StationCounts> counts =
      Map.of(
          "saw1",
          new StationCounts(Map.of(CutKind.PART, 74L, CutKind.TRIM, 20L), 74, 2, 1, 96, 20));
  volatile Map<String, StationIncidents> incidents = Map.of();
  volatile Map<String, List<String>> notes = Map.of();
  volatile List<Problem> unwritten = List.of();
  volatile @Nullable RuntimeException failure;

  @Override
  public Instant now() {
    return now;
  }

  @Override
  public String version() {
    return "0.1.0-test";
  }

  @Override
  public @Nullable String notReady() {
    return notReady;
  }

  @Override
  public List<StationView> stations() {
    RuntimeException thrown = failure;
    if (thrown != null) {
      throw thrown;
    }
    return stations;
  }

  @Override
  public List<JobTally> jobs() {
    return jobs;
  }

  @Override
  public InboxState inbox() {
    return inbox;
  }

  @Override
  public StockState stock() {
    return stock;
  }

  @Override
  public OffcutTotals offcuts() {
    return offcuts;
  }

  @Override
  public Map<String, StationCounts> counts() {
    return counts;
  }

  @Override
  public Map<String, StationIncidents> incidents() {
    return incidents;
  }

  @Override
  public Map<String, List<String>> notes() {
    return notes;
  }

  @Override
  public List<Problem> unwritten() {
    return unwritten;
  }

  /** Shows the running job with so many super sides made. */
  void made(int sides) {
    List<JobTally> next = new ArrayList<>(jobs);
    next.set(1, supers("comb-honey-supers", "Comb honey supers", sides));
    jobs = List.copyOf(next);
  }

  static StationView cutting(String name, String job) {
    return new StationView(
        name,
        StationMode.EXECUTE,
        NOW.minusSeconds(740),
        true,
        true,
        job,
        2,
        9,
        new TargetSet(97, job, 9, "super side", mm(505), mm(505), NOW.plusSeconds(3)),
        null,
        new Prompt(Prompt.Kind.CUT, "Cut super side, 505 mm", PINE, null, null),
        Map.of(),
        device(505, true),
        mm(515),
        null);
  }

  static StationView stopped(String name) {
    return new StationView(
        name,
        StationMode.ABORTED,
        NOW.minusSeconds(95),
        true,
        false,
        null,
        1,
        0,
        null,
        null,
        new Prompt(Prompt.Kind.CLEAR_MACHINE, "Emergency stop", null, null, null),
        Map.of("1", "Emergency stop"),
        device(312, false),
        mm(322),
        null);
  }

  static DeviceSnapshot device(long mm, boolean reached) {
    return new DeviceSnapshot(
        "b-7",
        1234,
        null,
        97,
        mm(mm),
        reached,
        true,
        true,
        true,
        SawState.IDLE,
        0,
        "",
        OperatorPanel.UNTOUCHED);
  }

  static JobTally supers(String id, String name, int sides) {
    List<PartCount> parts =
        List.of(
            new PartCount(part("super side", mm(505), 40), sides, 1, 0),
            new PartCount(part("super end", mm(413), 40), 18, 0, 0),
            new PartCount(
                new Part("rest strip", Length.ofNm(387_350_000), 20, "pine-27x22", 1, "bark up"),
                0,
                0,
                2));
    StickUse use = new StickUse(9, mm(21_960), PINE, mm(1_400), mm(505L * sides + 1), mm(640));
    return job(order(id, name, LengthUnit.MM, parts), JobStatus.RUNNING, parts, use);
  }

  static JobTally frames(String id, JobStatus status) {
    List<PartCount> parts =
        List.of(
            new PartCount(part("top bar", mm(483), 200), 200, 3, 0),
            new PartCount(part("side bar", mm(232), 400), 400, 0, 0));
    StickUse use = new StickUse(84, mm(204_960), PINE, Length.ZERO, mm(189_400), mm(4_120));
    return job(order(id, "Hoffman frames", LengthUnit.MM, parts), status, parts, use);
  }

  static JobTally greenhouse(String id, JobStatus status) {
    List<PartCount> parts =
        List.of(
            new PartCount(part("glazing bar", Length.ofNm(1_231_900_000), 24), 0, 0, 0),
            new PartCount(part("rafter", Length.ofNm(2_443_162_500L), 12), 0, 0, 0));
    JobOrder order = order(id, "Greenhouse north wall", LengthUnit.IN, parts);
    StickUse none = new StickUse(0, Length.ZERO, "", Length.ZERO, Length.ZERO, Length.ZERO);
    return job(order, status, parts, none);
  }

  private static Length mm(long mm) {
    return Length.ofMm(mm);
  }

  private static Part part(String name, Length length, int quantity) {
    return new Part(name, length, quantity, PINE, 1, null);
  }

  private static JobOrder order(String id, String name, LengthUnit unit, List<PartCount> parts) {
    return new JobOrder(
        id,
        name,
        id + ".csv",
        "00",
        LocalDate.parse("2027-03-05"),
        unit,
        1,
        null,
        parts.stream().map(PartCount::part).toList());
  }

  static JobTally job(JobOrder order, JobStatus status, List<PartCount> parts, StickUse use) {
    PlannedSticks sticks =
        new PlannedSticks(
            PINE,
            mm(2440),
            StickKind.NEW,
            null,
            BigDecimal.ONE,
            Math.max(18, use.loaded()),
            mm(10),
            List.of(new Cut("super side", mm(505))),
            mm(400),
            mm(400));
    CutPlan plan = new CutPlan(List.of(sticks), List.of(), BigDecimal.TEN, BigDecimal.TEN, true);
    boolean started = status != JobStatus.WAITING;
    return new JobTally(
        order,
        "saw1",
        status,
        plan,
        plan,
        0,
        null,
        parts,
        use,
        new Incidents(0, 0, 0, List.of()),
        NOW.minusSeconds(3600),
        started ? NOW.minusSeconds(1800) : null,
        status.finished() ? NOW.minusSeconds(900) : null,
        0);
  }
}
