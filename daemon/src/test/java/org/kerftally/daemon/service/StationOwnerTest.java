package org.kerftally.daemon.service;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;
import static org.kerftally.daemon.service.Samples.order;
import static org.kerftally.daemon.service.Samples.stated;
import static org.kerftally.daemon.service.Samples.sticks;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.daemon.station.StationState;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.event.StationEvent;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.length.Length;

final class StationOwnerTest {

  private static final Duration PATIENCE = Duration.ofMinutes(1);

  @TempDir Path folder;

  private CutLog log;
  private PlanDesk plans;
  private JobDesk jobs;
  private StationOwner owner;
  private final Saw saw = new Saw();
  private final AtomicReference<Throwable> death = new AtomicReference<>();

  /** A device that takes every target at once, and looks into the log while it is handed over. */
  private final class Saw implements PositionerLink {
    private Consumer<LinkEvent> sink = event -> {};
    private long acknowledged;
    private long count;
    private LastCut last;
    private volatile Target active;
    private final List<Target> sent = new CopyOnWriteArrayList<>();
    private final List<String> early = new CopyOnWriteArrayList<>();

    @Override
    public void start(Consumer<LinkEvent> receiver) {
      sink = receiver;
      sink.accept(new LinkEvent.Up(snapshot()));
    }

    @Override
    public boolean send(Target target) {
      if (targetsOnDisk().stream().noneMatch(set -> set.seq() == target.seq())) {
        early.add("target " + target.seq() + " is not on disk yet");
      }
      active = target;
      sent.add(target);
      sink.accept(new LinkEvent.Replied(target.seq(), true, null));
      sink.accept(new LinkEvent.Snapshot(snapshot()));
      return true;
    }

    private DeviceSnapshot snapshot() {
      Target held = active;
      return new DeviceSnapshot(
          "boot-1",
          count,
          last,
          held == null ? 0 : held.seq(),
          held == null ? Length.ZERO : held.position(),
          held != null,
          true,
          true,
          true,
          SawState.IDLE,
          0,
          "",
          new OperatorPanel(0, null, 0, 0, null, acknowledged, false));
    }

    void acknowledge() {
      acknowledged++;
      sink.accept(new LinkEvent.Snapshot(snapshot()));
    }

    void cut() {
      count++;
      last = new LastCut("boot-1", count, active.seq(), active.position(), null);
      sink.accept(new LinkEvent.Snapshot(snapshot()));
    }

    @Override
    public void show(Prompt prompt) {}

    @Override
    public void close() {}
  }

  @BeforeEach
  void open() {
    log = CutLog.open(folder.resolve("kerftally.db"), Clock.systemUTC());
    StockDesk stock = new StockDesk(Clock.systemUTC());
    log.follow(stock::follow);
    log.append(null, List.of(stated(sticks(2400, 10, null))));
    plans = new PlanDesk(stock, Duration.ofMinutes(1), System::nanoTime);
    StationOwner.Tools tools =
        new StationOwner.Tools(log, saw, plans, Clock.systemUTC(), System::nanoTime);
    owner = new StationOwner(Samples.station("saw1"), StationState.EMPTY, tools, death::set);
    jobs = new JobDesk(log, stock, plans, List.of(owner));
  }

  @AfterEach
  void close() {
    owner.close();
    plans.close();
    log.close();
    assertThat(death.get()).isNull();
  }

  private <T extends StationEvent> List<T> onDisk(Class<T> type) {
    List<T> found = new ArrayList<>();
    log.replay(
        recorded -> {
          if (type.isInstance(recorded.event())) {
            found.add(type.cast(recorded.event()));
          }
        });
    return found;
  }

  private List<TargetSet> targetsOnDisk() {
    return onDisk(TargetSet.class);
  }

  private boolean hasAJob() {
    return owner.view().job() != null || owner.view().waiting() > 0;
  }

  private void beginWith(int pieces) {
    owner.start("test");
    assertThat(jobs.take(order("supers", 505, pieces), "")).isNotNull();
    await().atMost(PATIENCE).until(() -> owner.view().linkUp() && hasAJob());
    saw.acknowledge();
    await().atMost(PATIENCE).until(() -> saw.sent.size() == 1);
  }

  @Test
  void everyTargetIsOnDiskBeforeItIsSent() {
    beginWith(3);
    for (int piece = 1; piece <= 3; piece++) {
      int sent = piece;
      await().atMost(PATIENCE).until(() -> saw.sent.size() == sent);
      saw.cut();
    }
    await().atMost(PATIENCE).until(() -> onDisk(CutBooked.class).size() == 3);

    assertThat(saw.early).isEmpty();
    assertThat(saw.sent).hasSize(3).extracting(Target::seq).doesNotHaveDuplicates();
  }

  /** An office program that holds the file locked is the kind of failure that passes. */
  @Test
  void nothingIsSentWhileTheLogCannotBeWrittenAndTheSameCutIsBookedOnceItCan() throws SQLException {
    beginWith(2);
    String url = "jdbc:sqlite:" + folder.resolve("kerftally.db");
    try (Connection office = DriverManager.getConnection(url);
        var statement = office.createStatement()) {
      statement.execute("BEGIN IMMEDIATE");
      saw.cut();
      await().atMost(PATIENCE).until(() -> owner.view().trouble() != null);

      assertThat(owner.view().trouble()).contains("cannot be written");
      assertThat(onDisk(CutBooked.class)).isEmpty();
      assertThat(saw.sent).hasSize(1);

      statement.execute("ROLLBACK");
    }

    await().atMost(PATIENCE).until(() -> saw.sent.size() == 2);
    assertThat(owner.view().trouble()).isNull();
    assertThat(onDisk(CutBooked.class)).extracting(CutBooked::count).containsExactly(1L);
    assertThat(saw.early).isEmpty();
  }

  @Test
  void whatIsInTheMailboxIsBookedBeforeItEnds() {
    beginWith(2);
    saw.cut();
    owner.close();

    assertThat(onDisk(CutBooked.class)).extracting(CutBooked::count).containsExactly(1L);
    assertThat(onDisk(StationEvent.DriveEnded.class)).hasSize(1);
  }
}
