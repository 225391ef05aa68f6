package org.kerftally.protocol;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import org.awaitility.core.ConditionFactory;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.LinkConfig;
import org.kerftally.protocol.LinkTap.Way;
import org.kerftally.shared.device.DeviceFault;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.Action;
import org.kerftally.sim.Button;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;

/**
 * States what every link must do, whatever it speaks, against the simulated device running fast.
 * One subclass a protocol.
 */
public abstract class LinkContract {

  /** Generous: a loaded machine must not fail a test, a right link never takes as long. */
  private static final Duration PATIENCE = Duration.ofSeconds(30);

  private static final Duration VALIDITY = Duration.ofSeconds(20);

  private static final double SPEED = 40;

  @TempDir private Path folder;

  private SimDevice device;
  private DeviceServer server;
  private PositionerLink link;
  private final Witness seen = new Witness();

  /** Listens on the wire of the link under test. */
  protected final WireTap tap = new WireTap();

  /** Serves the device, at the same address each time within one test. */
  protected abstract DeviceServer serve(SimDevice device);

  /** Returns the folder of the site that the link belongs to. */
  protected final Path siteFolder() {
    return folder.resolve("site");
  }

  /** Returns how the served device is reached. */
  protected abstract LinkConfig config();

  @BeforeEach
  void start() {
    power(OperatorModel.ABSENT);
  }

  private void power(OperatorModel operator) {
    device =
        SimDevice.open(
            SimConfig.standard("saw1")
                .withSpeed(SPEED)
                .withOperator(operator)
                .withMemory(folder.resolve("memory")));
    server = serve(device);
    link = open(Length.ofNm(100_000), Clock.systemUTC());
  }

  /** Makes the link under test. */
  protected PositionerLink open(Length window, Clock clock) {
    return Links.open("saw1", config(), window, siteFolder(), clock, tap);
  }

  /** Returns what the station is to see of the device, as it is now. */
  protected DeviceSnapshot truth() {
    return device.snapshot();
  }

  @AfterEach
  void stop() {
    link.close();
    server.close();
    device.close();
  }

  /** Starts the link and waits until the device permits moves. */
  protected final void linkUp() {
    link.start(seen);
    patiently().until(() -> seen.ups() == 1);
    patiently().until(() -> seen.latest().permitsMove());
  }

  private static ConditionFactory patiently() {
    return await().atMost(PATIENCE).pollInterval(Duration.ofMillis(5));
  }

  private static Target target(long seq, Length position) {
    return target(seq, position, VALIDITY);
  }

  private static Target target(long seq, Length position, Duration validity) {
    return new Target(
        seq, position, "super side", "comb-honey", Instant.now().plus(validity), validity);
  }

  /** Sends a target and waits until the stop stands at it. */
  protected final void reach(long seq, Length position) {
    assertThat(link.send(target(seq, position))).isTrue();
    patiently().until(() -> !seen.repliesTo(seq).isEmpty());
    assertThat(seen.repliesTo(seq)).containsExactly(new LinkEvent.Replied(seq, true, null));
    patiently().until(() -> seen.latest().activeSequence() == seq && seen.latest().targetReached());
  }

  private void cut() {
    patiently().until(() -> device.snapshot().sawState() == SawState.IDLE);
    assertThat(device.stroke()).isTrue();
  }

  /** Returns a word of the reason with which the device refuses what is out of its travel. */
  protected String outOfTravel() {
    return "travel";
  }

  /** Returns the number of the target held, as it is seen over a new connection. */
  protected long heldOverAReconnect(long seq) {
    return seq;
  }

  /** The same cut: protocols carry its time with less than a nanosecond's detail. */
  protected void assertSameCut(@Nullable LastCut actual, @Nullable LastCut expected) {
    assertThat(actual).isNotNull();
    assertThat(expected).isNotNull();
    assertThat(actual).usingRecursiveComparison().ignoringFields("at").isEqualTo(expected);
    assertThat(actual.at()).isCloseTo(expected.at(), within(1, ChronoUnit.MILLIS));
  }

  @Test
  void theLinkComesUpWithTheWholeDevice() {
    linkUp();

    DeviceSnapshot first = seen.all(LinkEvent.Up.class).get(0).snapshot();
    assertThat(seen.events().get(0)).isInstanceOf(LinkEvent.Up.class);
    assertThat(first.boot()).isEqualTo(device.snapshot().boot());
    patiently().untilAsserted(() -> assertThat(seen.latest()).isEqualTo(truth()));
    assertThat(seen.downs()).isZero();
  }

  @Test
  void aTargetIsAcceptedAndReached() {
    linkUp();

    Length position = Length.ofNm(505_250_000);
    reach(1, position);

    assertThat(seen.latest().position().minus(position).abs())
        .isLessThanOrEqualTo(Length.ofNm(100_000));
  }

  @Test
  void aTargetOutOfTravelIsRefusedWithTheDevicesReason() {
    linkUp();

    assertThat(link.send(target(1, Length.ofMm(99_000)))).isTrue();

    patiently().until(() -> !seen.repliesTo(1).isEmpty());
    LinkEvent.Replied reply = seen.repliesTo(1).get(0);
    assertThat(reply.accepted()).isFalse();
    assertThat(reply.reason()).contains(outOfTravel());
    assertThat(truth().activeSequence()).isZero();
  }

  @Test
  void aTargetIsRefusedWhileTheMachineForbidsRemoteMoves() {
    linkUp();
    device.act(Action.of(Action.Kind.REMOTE_OFF));

    patiently().until(() -> !seen.latest().remoteAllowed());
    assertThat(link.send(target(1, Length.ofMm(500)))).isTrue();

    patiently().until(() -> !seen.repliesTo(1).isEmpty());
    assertThat(seen.repliesTo(1).get(0).accepted()).isFalse();
    assertThat(seen.repliesTo(1).get(0).reason()).isNotBlank();
  }

  @Test
  void aTargetIsRefusedWhileTheSawIsInItsCycle() {
    linkUp();
    reach(1, Length.ofMm(500));
    cut();

    assertThat(link.send(target(2, Length.ofMm(700)))).isTrue();

    patiently().until(() -> !seen.repliesTo(2).isEmpty());
    assertThat(seen.repliesTo(2).get(0).accepted()).isFalse();
    assertThat(truth().activeSequence()).isEqualTo(1);
  }

  @Test
  void aCutIsReportedWithBootCountSequenceAndPosition() {
    linkUp();
    reach(7, Length.ofMm(413));

    cut();

    patiently().until(() -> seen.latest().cutCount() == 1);
    DeviceSnapshot snapshot = seen.latest();
    assertThat(snapshot.isConsistent()).isTrue();
    LastCut cut = snapshot.lastCut();
    assertThat(cut).isNotNull();
    assertThat(cut.boot()).isEqualTo(device.snapshot().boot());
    assertThat(cut.count()).isEqualTo(1);
    assertThat(cut.seq()).isEqualTo(7);
    assertThat(cut.position().minus(Length.ofMm(413)).abs())
        .isLessThanOrEqualTo(Length.ofNm(100_000));
    assertSameCut(cut, truth().lastCut());
  }

  @Test
  void ofManyCutsNoneIsMissedAndEachComesWithItsTarget() {
    linkUp();

    for (int seq = 1; seq <= 12; seq++) {
      reach(seq, Length.ofMm(400 + 10 * (seq % 3)));
      cut();
      long count = seq;
      patiently().until(() -> seen.latest().cutCount() == count);
      assertThat(seen.latest().lastCut().seq()).isEqualTo(seq);
      patiently().until(() -> seen.latest().sawState() == SawState.IDLE);
    }

    assertThat(seen.snapshots()).allMatch(DeviceSnapshot::isConsistent);
    assertThat(seen.downs()).isZero();
  }

  @Test
  void cutsFasterThanAnybodyLooksAreCountedNoneTheLess() {
    linkUp();

    for (int i = 0; i < 15; i++) {
      cut();
    }

    patiently().until(() -> seen.latest().cutCount() == 15);
    assertThat(seen.snapshots().stream().map(DeviceSnapshot::cutCount)).isSorted();
    assertSameCut(seen.latest().lastCut(), truth().lastCut());
  }

  @Test
  void whatTheOperatorPressesArrivesAsTotals() {
    linkUp();

    device.press(Button.STICK_LOADED, Length.ofMm(2440));
    device.press(Button.STICK_LOADED, Length.ofNm(2_431_500_000L));
    device.press(Button.REJECTED);
    device.press(Button.DEFECT, Length.ofMm(1200));
    device.press(Button.ACKNOWLEDGE);
    device.act(Action.of(Action.Kind.PAUSE));

    patiently().until(() -> seen.latest().panel().paused());
    assertThat(seen.latest().panel()).isEqualTo(device.snapshot().panel());
    assertThat(seen.latest().panel().stickLoaded()).isEqualTo(2);
    assertThat(seen.latest().panel().stickLength()).isEqualTo(Length.ofNm(2_431_500_000L));
    assertThat(seen.latest().panel().defectAt()).isEqualTo(Length.ofMm(1200));
  }

  @Test
  void aFaultArrivesWithCodeAndText() {
    linkUp();

    device.inject(DeviceFault.EMERGENCY_STOP);

    patiently().until(() -> seen.latest().faultCode() != 0);
    assertThat(seen.latest().faultCode()).isEqualTo(DeviceFault.EMERGENCY_STOP.code());
    assertThat(seen.latest().faultText()).isEqualTo(device.snapshot().faultText()).isNotBlank();
    assertThat(seen.latest().permitsMove()).isFalse();
  }

  @Test
  void aPromptIsShownAtTheDevice() {
    stop();
    power(OperatorModel.STANDARD);
    linkUp();

    link.show(
        new Prompt(
            Prompt.Kind.LOAD_STICK,
            "Load a stick of pine",
            "pine-19x146",
            Length.ofMm(2440),
            null));

    patiently().until(() -> seen.latest().panel().stickLoaded() == 1);
    assertThat(seen.latest().panel().stickLength()).isEqualTo(Length.ofMm(2440));
  }

  @Test
  void aPromptFromBeforeTheLinkWasUpIsShownToo() {
    stop();
    power(OperatorModel.STANDARD);
    link.show(new Prompt(Prompt.Kind.CLEAR_MACHINE, "The drive is off", null, null, null));
    link.show(new Prompt(Prompt.Kind.ACKNOWLEDGE, "Look and acknowledge", null, null, null));

    linkUp();

    patiently().until(() -> seen.latest().panel().acknowledged() >= 1);
  }

  @Test
  void aDeviceThatIsNotThereIsDownOnceAndUpWhenItComes() {
    server.close();

    link.start(seen);

    patiently().until(() -> seen.downs() == 1);
    assertThat(seen.all(LinkEvent.Down.class).get(0).reason()).isNotBlank();
    assertThat(link.send(target(1, Length.ofMm(500)))).isFalse();
    server = serve(device);
    patiently().until(() -> seen.ups() == 1);
    assertThat(seen.downs()).isEqualTo(1);
    assertThat(truth().activeSequence()).isZero();
  }

  @Test
  void aServerThatGoesIsDownOnceAndUpByItselfWhenItIsBack() {
    linkUp();
    reach(1, Length.ofMm(500));

    server.close();
    patiently().until(() -> seen.downs() == 1);
    assertThat(seen.isUp()).isFalse();
    assertThat(link.send(target(2, Length.ofMm(900)))).isFalse();
    cut();
    patiently().until(() -> device.snapshot().cutCount() == 1);
    server = serve(device);

    patiently().until(() -> seen.ups() == 2);
    DeviceSnapshot back = seen.all(LinkEvent.Up.class).get(1).snapshot();
    assertThat(back.cutCount()).isEqualTo(1);
    assertThat(back.activeSequence()).isEqualTo(heldOverAReconnect(1));
    patiently().until(() -> seen.latest().permitsMove());
    reach(3, Length.ofMm(600));
    assertThat(seen.downs()).isEqualTo(1);
    assertThat(seen.repliesTo(2)).isEmpty();
  }

  @Test
  void aPowerCycleShowsAsAnotherBootAndLosesNoCut() {
    linkUp();
    reach(5, Length.ofMm(500));
    cut();
    patiently().until(() -> seen.latest().cutCount() == 1);
    String before = seen.latest().boot();
    patiently().until(() -> device.snapshot().sawState() == SawState.IDLE);

    device.powerCycle();

    patiently().until(() -> seen.ups() == 2);
    patiently().until(() -> seen.latest().permitsMove());
    assertThat(seen.latest().boot()).isNotEqualTo(before);
    assertSameCut(seen.latest().lastCut(), truth().lastCut());
    assertThat(seen.downs()).isEqualTo(1);
  }

  @Test
  void anExpiredTargetIsNotSent() {
    linkUp();
    Target stale =
        new Target(
            1,
            Length.ofMm(500),
            null,
            "comb-honey",
            Instant.now().minusMillis(1),
            Duration.ofSeconds(3));

    assertThat(link.send(stale)).isFalse();

    reach(2, Length.ofMm(600));
    assertThat(seen.repliesTo(1)).isEmpty();
  }

  @Test
  void aTargetBeforeTheLinkIsUpIsNotSent() {
    assertThat(link.send(target(1, Length.ofMm(500)))).isFalse();

    linkUp();

    reach(2, Length.ofMm(600));
    assertThat(seen.repliesTo(1)).isEmpty();
  }

  @Test
  void whoeverHearsUpCanSend() {
    List<Boolean> sent = new CopyOnWriteArrayList<>();
    patiently().until(() -> device.snapshot().permitsMove());

    link.start(
        event -> {
          seen.accept(event);
          if (event instanceof LinkEvent.Up) {
            sent.add(link.send(target(1, Length.ofMm(500))));
          }
        });

    patiently().until(() -> !seen.repliesTo(1).isEmpty());
    assertThat(sent).containsExactly(true);
    assertThat(seen.repliesTo(1).get(0).accepted()).isTrue();
  }

  @Test
  void nothingComesAfterClosing() {
    linkUp();

    link.close();
    int events = seen.events().size();
    device.inject(DeviceFault.EMERGENCY_STOP);
    server.close();

    link.close();
    assertThat(link.send(target(1, Length.ofMm(500)))).isFalse();
    link.show(Prompt.NONE);
    assertThat(seen.events()).hasSize(events);
  }

  @Test
  void whatPassesOverTheWireIsToldInBothWays() {
    linkUp();
    assertThat(tap.passed(Way.TO_DEVICE, "connect")).isNotEmpty();
    assertThat(tap.passed(Way.FROM_DEVICE, "connected")).isNotEmpty();
    assertThat(tap.passed(Way.FROM_DEVICE, "read", "retained", "message")).isNotEmpty();
    int before = tap.passed(Way.TO_DEVICE, "call", "publish", "write").size();
    reach(1, Length.ofMm(500));
    assertThat(tap.passed(Way.TO_DEVICE, "call", "publish", "write")).hasSizeGreaterThan(before);
    assertThat(tap.passed(Way.FROM_DEVICE, "answer", "puback", "message")).isNotEmpty();
    int told = tap.passed(Way.FROM_DEVICE, "report", "message").size();
    device.inject(DeviceFault.EMERGENCY_STOP);
    patiently().until(() -> tap.passed(Way.FROM_DEVICE, "report", "message").size() > told);
    server.close();
    patiently().until(this::isLeaveToldByTheWire);
  }

  /** A broker stays when its device goes, and passes on what the device left to be said. */
  private boolean isLeaveToldByTheWire() {
    return !tap.passed(Way.FROM_DEVICE, "lost").isEmpty()
        || tap.passed(Way.FROM_DEVICE, "message").stream()
            .anyMatch(m -> m.place().endsWith("online") && m.value().equals("false"));
  }

  @Test
  void aLinkThatWasNeverStartedCloses() {
    link.close();
    link.close();

    assertThat(seen.events()).isEmpty();
  }

  @Test
  void aLinkStartsOnce() {
    linkUp();

    assertThatThrownBy(() -> link.start(seen)).isInstanceOf(IllegalStateException.class);
  }

  /** Returns the device, for what a protocol's own tests add. */
  protected final SimDevice device() {
    return device;
  }

  /** Returns the link under test. */
  protected final PositionerLink link() {
    return link;
  }

  /** Returns what the link passed on. */
  protected final Witness seen() {
    return seen;
  }
}
