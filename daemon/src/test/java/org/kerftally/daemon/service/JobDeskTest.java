package org.kerftally.daemon.service;

import static org.assertj.core.api.Assertions.assertThat;
import static org.kerftally.daemon.service.Samples.order;
import static org.kerftally.daemon.service.Samples.recorded;
import static org.kerftally.daemon.service.Samples.stated;
import static org.kerftally.daemon.service.Samples.sticks;
import static org.kerftally.daemon.service.Samples.sticksAt;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.daemon.intake.folder.Acceptor.Answer;
import org.kerftally.daemon.station.StationState;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.ShopEvent.JobTaken;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.problem.Problem;
import org.kerftally.shared.stock.StockItem;

final class JobDeskTest {

  @TempDir Path folder;

  private CutLog log;
  private StockDesk stock;
  private PlanDesk plans;
  private StationOwner owner;
  private JobDesk desk;
  private Runnable whilePlanning = () -> {};

  @BeforeEach
  void open() {
    log = CutLog.open(folder.resolve("kerftally.db"), Clock.systemUTC());
    stock = new StockDesk(Clock.systemUTC());
    log.follow(stock::follow);
    // The desk reads the clock once it has seen the stock, and before it claims any of it.
    plans =
        new PlanDesk(
            stock,
            Duration.ofMinutes(5),
            () -> {
              whilePlanning.run();
              return 0;
            });
    StationOwner.Tools tools =
        new StationOwner.Tools(log, new SilentLink(), plans, Clock.systemUTC(), System::nanoTime);
    owner =
        new StationOwner(
            Samples.station("saw1"),
            StationState.EMPTY,
            tools,
            e -> {
              throw new AssertionError(e);
            });
    desk = new JobDesk(log, stock, plans, List.of(owner));
  }

  @AfterEach
  void close() {
    plans.close();
    log.close();
  }

  private void state(StockItem... items) {
    log.append(null, List.of(stated(items)));
  }

  private List<String> taken() {
    List<String> ids = new ArrayList<>();
    log.replay(
        recorded -> {
          Event event = recorded.event();
          if (event instanceof JobTaken job) {
            ids.add(job.order().id());
          }
        });
    return ids;
  }

  private static Problem onlyProblem(Answer answer) {
    assertThat(answer).isInstanceOf(Answer.Refused.class);
    List<Problem> problems = ((Answer.Refused) answer).problems();
    assertThat(problems).hasSize(1);
    return problems.get(0);
  }

  @Test
  void aJobIsTakenOnceItsPlanIsOnDisk() {
    state(sticks(2400, 2, null));

    assertThat(desk.take(order("supers", 505, 8), "")).isInstanceOf(Answer.Taken.class);

    assertThat(taken()).containsExactly("supers");
    assertThat(stock.ledger().available("frames")).isEmpty();
  }

  /** A file that was dropped must not end the service, nor come up again at every start. */
  @Test
  void anOrderWhoseNumbersCannotBePlannedIsRefusedWithAMendAndTheNextIsTaken() {
    state(sticksAt("0.000001", 2400), sticksAt("99999999999.5", 3000));

    Problem problem = onlyProblem(desk.take(order("supers", 505, 40), ""));

    assertThat(problem.file()).isEqualTo("supers.csv");
    assertThat(problem.message()).contains("cannot be planned", "dearest stick");
    assertThat(problem.hint()).contains("round the costs");
    assertThat(taken()).isEmpty();

    state(sticks(2400, 20, null));
    assertThat(desk.take(order("frames", 505, 8), "")).isInstanceOf(Answer.Taken.class);
    assertThat(taken()).containsExactly("frames");
  }

  @Test
  void anOrderIsPutOffWhileTheStockGoesToOthersEachTimeItIsPlanned() {
    int[] statements = {0};
    state(sticks(2400, 1, "P-0"));
    whilePlanning =
        () -> {
          statements[0]++;
          state(sticks(2400, 1, "P-" + statements[0]));
        };

    assertThat(desk.take(order("supers", 505, 4), "")).isInstanceOf(Answer.Later.class);
    assertThat(statements[0]).isGreaterThan(1);
    assertThat(taken()).isEmpty();

    whilePlanning = () -> {};
    assertThat(desk.take(order("supers", 505, 4), "")).isInstanceOf(Answer.Taken.class);
  }

  @Test
  void anOrderThatOneOtherJobGotInFrontOfIsPlannedAgainAtOnce() {
    boolean[] done = {false};
    state(sticks(2400, 1, "P-0"), sticks(2400, 1, "P-1"));
    whilePlanning =
        () -> {
          if (!done[0]) {
            done[0] = true;
            stock.follow(
                recorded(
                    null,
                    new JobTaken(order("frames", 505, 4), "saw1", Samples.plan(2400, 1, "P-0"))));
          }
        };

    assertThat(desk.take(order("supers", 505, 4), "")).isInstanceOf(Answer.Taken.class);

    assertThat(stock.ledger().reserved("supers"))
        .extracting(sticks -> sticks.label())
        .containsExactly("P-1");
  }

  @Test
  void anOrderOfWhichNothingCanBeCutNowIsRefusedWithAMend() {
    state(sticks(2400, 0, null));

    Problem problem = onlyProblem(desk.take(order("supers", 505, 4), ""));

    assertThat(problem.message()).contains("free now");
    assertThat(problem.hint()).contains("stock.csv");
  }

  @Test
  void aStationThatIsNotThereIsNamedBesideThoseThatAre() {
    state(sticks(2400, 2, null));
    JobOrder plain = order("supers", 505, 4);
    JobOrder elsewhere =
        new JobOrder(
            plain.id(),
            plain.name(),
            plain.file(),
            plain.sha256(),
            null,
            plain.unit(),
            1,
            "saw9",
            plain.parts());

    Problem problem = onlyProblem(desk.take(elsewhere, ""));

    assertThat(problem.message()).contains("saw9");
    assertThat(problem.hint()).contains("saw1");
  }

  @Test
  void aLengthTheStopCannotReachIsRefusedWithTheTravel() {
    state(sticks(6000, 2, null));

    Problem problem = onlyProblem(desk.take(order("rails", 4500, 1), ""));

    assertThat(problem.column()).isEqualTo("length");
    assertThat(problem.message()).contains("saw1", "4500 mm", "4000 mm");
  }
}
