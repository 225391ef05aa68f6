package org.kerftally.daemon.results;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.results.Jobs.PINE;
import static org.kerftally.daemon.results.Jobs.SAW;
import static org.kerftally.daemon.results.Jobs.cut;
import static org.kerftally.daemon.results.Jobs.order;
import static org.kerftally.daemon.results.Jobs.part;
import static org.kerftally.daemon.results.Jobs.plan;
import static org.kerftally.daemon.results.Jobs.shortPlan;
import static org.kerftally.daemon.results.Jobs.sticks;

import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.JobWithdrawn;
import org.kerftally.shared.event.StationEvent.DefectFound;
import org.kerftally.shared.event.StationEvent.FaultCleared;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.JobReopened;
import org.kerftally.shared.event.StationEvent.JobStarted;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.Replanned;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.Offcut;

class JobTalliesTest {

  private static final Length SIDE = Length.ofMm(505);
  private static final PlannedSticks STICK = sticks(1, 2440, cut("side", 505), cut("side", 505));
  private static final JobOrder JOB = order("supers", part("side", 505, 2));
  private static final CutPlan PLAN = plan(STICK);

  private final Jobs.Log log = new Jobs.Log();
  private final JobTallies tallies = new JobTallies();

  private JobTally see(Recorded recorded) {
    List<JobTally> changed = tallies.apply(recorded);
    assertThat(changed).hasSize(1);
    return changed.get(0);
  }

  private void start() {
    see(log.taken(JOB, PLAN));
    tallies.apply(log.say(SAW, new JobQueued(JOB, PLAN)));
    see(log.say(SAW, new JobStarted("supers")));
    see(log.loaded("supers", 1, STICK));
  }

  private void cutBoth() {
    tallies.apply(
        log.say(
            SAW, log.booked(CutKind.TRIM, "supers", 1, null, Length.ofMm(10), Length.ofMm(2430))));
    see(log.made("supers", 1, "side", SIDE, Length.ofMm(1922)));
    see(log.made("supers", 1, "side", SIDE, Length.ofMm(1414)));
  }

  private JobTally end() {
    Offcut offcut = new Offcut("saw1-1", PINE, Length.ofMm(1414), "supers");
    see(log.say(SAW, new StickDone("supers", 1, Length.ofMm(1414), offcut)));
    return see(log.say(SAW, new JobEnded("supers", List.of())));
  }

  @BeforeEach
  void nothingIsKnownAtFirst() {
    assertThat(tallies.all()).isEmpty();
  }

  @Test
  void followsAJobFromTakenToComplete() {
    JobTally waiting = see(log.taken(JOB, PLAN));
    assertThat(waiting.status()).isEqualTo(JobStatus.WAITING);
    assertThat(waiting.takenAt()).isEqualTo(Jobs.START.plusSeconds(1));
    assertThat(tallies.apply(log.say(SAW, new JobQueued(JOB, PLAN)))).isEmpty();
    JobTally running = see(log.say(SAW, new JobStarted("supers")));
    assertThat(running.status()).isEqualTo(JobStatus.RUNNING);
    assertThat(tallies.running(SAW)).contains(running);
    see(log.loaded("supers", 1, STICK));
    cutBoth();
    JobTally done = end();
    assertThat(done.status()).isEqualTo(JobStatus.COMPLETE);
    assertThat(done.endedAt()).isNotNull();
    assertThat(done.made()).isEqualTo(2);
    assertThat(done.sticks().loaded()).isEqualTo(1);
    assertThat(done.sticks().used()).isEqualTo(Length.ofMm(2440));
    assertThat(done.sticks().kept()).isEqualTo(Length.ofMm(1414));
    assertThat(done.sticks().waste()).isEqualTo(Length.ofMm(2440 - 1414 - 1010));
    assertThat(done.sticks().yieldShare()).isEqualByComparingTo("0.4139");
    assertThat(tallies.running(SAW)).isEmpty();
  }

  @Test
  void theStickInTheSawCountsAsUsedOnlyAsFarAsItIsCut() {
    start();
    JobTally tally = see(log.made("supers", 1, "side", SIDE, Length.ofMm(1922)));
    assertThat(tally.sticks().used()).isEqualTo(Length.ofMm(518));
    assertThat(tally.sticks().yieldShare()).isEqualByComparingTo("0.9749");
  }

  @Test
  void aRejectedPieceIsTakenBackAndItsLengthIsWaste() {
    start();
    cutBoth();
    JobTally tally =
        see(log.say(SAW, new PieceRejected(1, "b1", log.lastCount(), "supers", "side")));
    assertThat(tally.parts().get(0)).isEqualTo(new PartCount(JOB.parts().get(0), 1, 1, 0));
    assertThat(tally.sticks().good()).isEqualTo(SIDE);
    assertThat(tally.lastMade()).isEqualTo(-1);
  }

  @Test
  void onlyOnePieceIsTakenBackForOneRejection() {
    start();
    cutBoth();
    Recorded rejection =
        log.say(SAW, new PieceRejected(1, "b1", log.lastCount(), "supers", "side"));
    see(rejection);
    assertThat(tallies.apply(rejection)).isEmpty();
  }

  @Test
  void aJobReopenedAfterARejectionRunsAndCompletesAgain() {
    start();
    cutBoth();
    end();
    see(log.say(SAW, new PieceRejected(1, "b1", log.lastCount(), "supers", "side")));
    JobTally reopened = see(log.say(SAW, new JobReopened("supers")));
    assertThat(reopened.status()).isEqualTo(JobStatus.RUNNING);
    assertThat(reopened.endedAt()).isNull();
    assertThat(reopened.missing()).isZero();
    assertThat(tallies.running(SAW)).contains(reopened);
    PlannedSticks again = sticks(1, 2440, cut("side", 505));
    JobTally replanned =
        see(log.say(SAW, new Replanned("supers", "the last piece was rejected", plan(again))));
    assertThat(replanned.replans()).isEqualTo(1);
    assertThat(replanned.plan()).isEqualTo(plan(again));
    assertThat(replanned.firstPlan()).isEqualTo(PLAN);
    see(log.loaded("supers", 2, again));
    see(log.made("supers", 2, "side", SIDE, Length.ofMm(1922)));
    JobTally done = see(log.say(SAW, new JobEnded("supers", List.of())));
    assertThat(done.status()).isEqualTo(JobStatus.COMPLETE);
    assertThat(done.made()).isEqualTo(2);
    assertThat(done.rejected()).isEqualTo(1);
    assertThat(done.startedAt()).isEqualTo(Jobs.START.plusSeconds(3));
  }

  @Test
  void aPieceRejectedWhenTheNextJobRunsLeavesItsOwnJobShort() {
    start();
    cutBoth();
    end();
    JobOrder next = order("stands", part("leg", 400, 1));
    see(log.taken(next, plan(sticks(1, 2440, cut("leg", 400)))));
    see(log.say(SAW, new JobStarted("stands")));
    JobTally tally =
        see(log.say(SAW, new PieceRejected(1, "b1", log.lastCount(), "supers", "side")));
    assertThat(tally.id()).isEqualTo("supers");
    assertThat(tally.status()).isEqualTo(JobStatus.SHORT);
    assertThat(tally.missing()).isEqualTo(1);
  }

  @Test
  void aPieceThatRemainedIsMadeAndTheStickIsUsedUp() {
    start();
    see(log.made("supers", 1, "side", SIDE, SIDE));
    JobTally tally = see(log.say(SAW, new PieceRemained("supers", "side", 1, SIDE)));
    assertThat(tally.made()).isEqualTo(2);
    assertThat(tally.sticks().inSaw()).isEqualTo(Length.ZERO);
    JobTally rejected = see(log.say(SAW, new PieceRejected(1, null, 0, "supers", "side")));
    assertThat(rejected.made()).isEqualTo(1);
    assertThat(rejected.rejected()).isEqualTo(1);
  }

  @Test
  void suspectAndUnattributedCyclesCountAgainstTheJobBeingCutAndAreNoParts() {
    start();
    see(log.booked(CutKind.UNATTRIBUTED));
    see(log.booked(CutKind.SUSPECT));
    JobTally tally =
        see(
            log.say(
                SAW, log.booked(CutKind.SUSPECT, "supers", 1, "side", SIDE, Length.ofMm(1900))));
    assertThat(tally.made()).isZero();
    assertThat(tally.incidents().suspects()).isEqualTo(2);
    assertThat(tally.incidents().unattributed()).isEqualTo(1);
    assertThat(tally.sticks().inSaw()).isEqualTo(Length.ofMm(1900));
    assertThat(tally.sticks().yieldShare()).isEqualByComparingTo("0");
  }

  @Test
  void cyclesWhileNoJobIsCutConcernNone() {
    see(log.taken(JOB, PLAN));
    assertThat(tallies.apply(log.booked(CutKind.SUSPECT))).isEmpty();
    assertThat(tallies.apply(log.say(SAW, new LinkUp()))).isEmpty();
  }

  @Test
  void faultsMeanwhileAreListedAndBounded() {
    start();
    see(log.say(SAW, new FaultRaised("7", "Drive too warm")));
    JobTally cleared = see(log.say(SAW, new FaultCleared("7")));
    assertThat(cleared.incidents().faults()).hasSize(1);
    assertThat(cleared.incidents().faults().get(0).until()).isNotNull();
    assertThat(tallies.apply(log.say(SAW, new FaultCleared("7")))).isEmpty();
    JobTally many = cleared;
    for (int i = 0; i < 2 * Incidents.MAX_FAULTS; i++) {
      many = see(log.say(SAW, new FaultRaised("8", "Guard")));
    }
    assertThat(many.incidents().faultCount()).isEqualTo(2 * Incidents.MAX_FAULTS + 1);
    assertThat(many.incidents().faults()).hasSize(Incidents.MAX_FAULTS);
  }

  @Test
  void aFaultThatOutlastsItsJobEndsInThatJobToo() {
    start();
    see(log.say(SAW, new FaultRaised("1", "Emergency stop")));
    JobTally ended = end();
    assertThat(ended.incidents().faults().get(0).until()).isNull();
    JobOrder next = order("next", part("side", 505, 1));
    see(log.taken(next, PLAN));
    see(log.say(SAW, new JobStarted("next")));
    see(log.say(SAW, new FaultRaised("7", "Drive too warm")));
    assertThat(tallies.apply(log.say("saw2", new FaultCleared("1")))).isEmpty();

    Recorded over = log.say(SAW, new FaultCleared("1"));
    JobTally told = see(over);

    assertThat(told.id()).isEqualTo("supers");
    assertThat(told.endedAt()).isEqualTo(ended.endedAt());
    assertThat(told.incidents().faults())
        .singleElement()
        .satisfies(fault -> assertThat(fault.until()).isEqualTo(over.at()));
    assertThat(see(log.say(SAW, new FaultCleared("7"))).id()).isEqualTo("next");
    assertThat(tallies.apply(log.say(SAW, new FaultCleared("1")))).isEmpty();
  }

  @Test
  void aLinkThatWasLostAtTheEndOfTwoJobsEndsInBoth() {
    for (String job : List.of("first", "second")) {
      see(log.taken(order(job, part("side", 505, 1)), PLAN));
      see(log.say(SAW, new JobStarted(job)));
      see(log.say(SAW, new LinkDown("cable pulled")));
      see(log.say(SAW, new JobEnded(job, List.of())));
    }

    List<JobTally> told = tallies.apply(log.say(SAW, new LinkUp()));

    assertThat(told).extracting(JobTally::id).containsExactly("first", "second");
    assertThat(told).noneMatch(tally -> tally.incidents().oneStands());
  }

  @Test
  void aDefectLeavesWhatIsSoundInTheSaw() {
    start();
    JobTally tally = see(log.say(SAW, new DefectFound(1, 1, Length.ofMm(700))));
    assertThat(tally.sticks().inSaw()).isEqualTo(Length.ofMm(700));
    JobTally same = see(log.say(SAW, new DefectFound(2, 1, Length.ofMm(500))));
    assertThat(same.sticks().used()).isEqualTo(Length.ofMm(1940));
  }

  @Test
  void shortagesFallOnTheLinesTheyNameAndEndTheJobShort() {
    JobOrder order = order("big", part("side", 505, 2), part("end", 413, 3));
    List<Shortage> lack = List.of(new Shortage("end", PINE, Length.ofMm(413), 2));
    JobTally waiting = see(log.taken(order, shortPlan(lack, STICK)));
    assertThat(waiting.parts()).extracting(PartCount::missing).containsExactly(0, 2);
    see(log.say(SAW, new JobStarted("big")));
    JobTally ended = see(log.say(SAW, new JobEnded("big", lack)));
    assertThat(ended.status()).isEqualTo(JobStatus.SHORT);
    assertThat(ended.missing()).isEqualTo(2);
  }

  @Test
  void linesAlikeAreFilledInOrder() {
    JobOrder order = order("two", part("side", 505, 1), part("side", 505, 1));
    see(log.taken(order, PLAN));
    see(log.say(SAW, new JobStarted("two")));
    see(log.loaded("two", 1, STICK));
    JobTally one = see(log.made("two", 1, "side", SIDE, Length.ofMm(1922)));
    assertThat(one.parts()).extracting(PartCount::made).containsExactly(1, 0);
    JobTally two = see(log.made("two", 1, "side", SIDE, Length.ofMm(1414)));
    assertThat(two.parts()).extracting(PartCount::made).containsExactly(1, 1);
  }

  @Test
  void aPieceOfAnotherMaterialCountsForItsOwnLine() {
    Part ash = new Part("side", SIDE, 1, "ash", 1, null);
    see(log.taken(order("mixed", ash, part("side", 505, 1)), PLAN));
    see(log.say(SAW, new JobStarted("mixed")));
    see(log.loaded("mixed", 1, STICK));
    JobTally tally = see(log.made("mixed", 1, "side", SIDE, Length.ofMm(1922)));
    assertThat(tally.parts()).extracting(PartCount::made).containsExactly(0, 1);
  }

  @Test
  void aWithdrawnJobIsFinished() {
    see(log.taken(JOB, PLAN));
    JobTally tally = see(log.say(null, new JobWithdrawn("supers", "a newer revision")));
    assertThat(tally.status()).isEqualTo(JobStatus.WITHDRAWN);
    assertThat(tally.status().finished()).isTrue();
  }

  @Test
  void oldFinishedJobsAreLetGo() {
    JobTallies few = new JobTallies(2);
    for (int i = 1; i <= 6; i++) {
      few.apply(log.taken(order("job" + i, part("side", 505, 1)), PLAN));
      if (i != 3) {
        few.apply(log.say(SAW, new JobEnded("job" + i, List.of())));
      }
    }
    assertThat(few.all()).extracting(JobTally::id).containsExactly("job3", "job5", "job6");
    assertThat(few.apply(log.say(SAW, new JobReopened("job2")))).isEmpty();
  }
}
