package org.kerftally.protocol.wiring;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.MoveConfig.How;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.shared.device.LinkEvent.Replied;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/** Holds the handshakes, one look at a time, against a device told by hand. */
class MoveEngineTest {

  private static final Length AT = Length.ofMm(505);
  private static final long VALIDITY = 3_000_000_000L;

  private final Map<String, Object> device = new HashMap<>();
  private final List<String> written = new ArrayList<>();
  private final List<Replied> replies = new ArrayList<>();
  private final List<Boolean> starts = new ArrayList<>();
  private long activeSequence;
  private boolean permitted = true;
  private long now;
  private @Nullable MoveEngine engine;

  private void use(How how, boolean toggle) {
    Map<String, PointConfig> points = new LinkedHashMap<>();
    Stream.concat(how.required().stream(), how.optional().stream())
        .forEach(
            name -> {
              points.put(name, PointConfig.plain(new Place.Node("ns=1;s=" + name)));
              if (!MoveConfig.WRITTEN.contains(name)) {
                device.put(name, name.equals("answer") ? (Object) 0L : false);
              }
            });
    MoveConfig move = new MoveConfig(how, points, toggle);
    WiringConfig wiring = new WiringConfig(Map.of(), Set.of(StandIn.ACTIVE_SEQUENCE), move);
    engine = new MoveEngine(move, new DevicePicture(wiring, Length.ofNm(100_000), "m"));
    note(engine.begin());
  }

  private MoveEngine engine() {
    assertThat(engine).isNotNull();
    return engine;
  }

  private void note(MoveEngine.Work work) {
    starts.add(work.starts());
    for (Write write : work.writes()) {
      written.add(
          write instanceof Write.Flag flag
              ? flag.point() + "=" + flag.on()
              : write instanceof Write.Position position
                  ? position.point() + "=" + position.position()
                  : write instanceof Write.Count count
                      ? count.point() + "=" + count.number()
                      : "command");
    }
    if (work.reply() != null) {
      replies.add(work.reply());
    }
  }

  private void look() {
    Map<String, RawValue> values = new HashMap<>();
    device.forEach((name, value) -> values.put(name, RawValue.of(value)));
    MoveInputs inputs = new MoveInputs(engine().move(), values, activeSequence);
    try {
      note(engine().look(inputs, permitted, now));
    } catch (SignalFault e) {
      throw new AssertionError(e);
    }
  }

  private boolean offer(long seq) {
    Instant until = Instant.EPOCH.plusNanos(now + VALIDITY);
    Target target = new Target(seq, AT, "super side", "job", until, Duration.ofSeconds(3));
    return engine().offer(target, now + VALIDITY);
  }

  private void assertWritten(String... expected) {
    assertThat(written).containsExactly(expected);
    written.clear();
  }

  @Test
  void aStrobeIsTakenBackBeforeAnythingElse() {
    device.put("echo", true);
    use(How.STROBE, false);

    assertWritten("strobe=false");
    device.put("echo", true);
    assertThat(offer(1)).isTrue();
    look();
    assertWritten();
    device.put("echo", false);
    look();
    look();
    assertWritten("position=505 mm", "strobe=true");
  }

  @Test
  void aStrobeGoesUpAfterThePositionAndDownAfterTheEcho() {
    use(How.STROBE, false);
    look();
    offer(1);
    look();
    assertWritten("strobe=false", "position=505 mm", "strobe=true");
    look();
    assertWritten();
    assertThat(replies).isEmpty();

    device.put("echo", true);
    look();

    assertWritten("strobe=false");
    assertThat(replies).containsExactly(new Replied(1, true, null));
  }

  /** What gives a target may not go out late, what takes one back has to go out at any time. */
  @Test
  void onlyTheWritesThatGiveATargetAreBoundToItsValidity() {
    use(How.STROBE, false);
    look();
    offer(1);
    look();
    now += VALIDITY;
    look();

    assertWritten("strobe=false", "position=505 mm", "strobe=true", "strobe=false");
    assertThat(starts).containsExactly(false, false, true, false);
  }

  @Test
  void anErrorBesideTheEchoIsARefusalWithItsCode() {
    use(How.STROBE, false);
    look();
    offer(1);
    look();
    device.put("echo", true);
    device.put("error", 17);
    look();

    assertThat(replies).containsExactly(new Replied(1, false, "the device reports error 17"));
  }

  @Test
  void aStrobeThatIsNotEchoedIsTakenBackAndNothingIsTold() {
    use(How.STROBE, false);
    look();
    offer(1);
    look();
    written.clear();

    now += VALIDITY;
    look();

    assertWritten("strobe=false");
    assertThat(replies).isEmpty();
    assertThat(engine().isBusy()).isFalse();
  }

  @Test
  void aToggleIsTurnedOverEachTimeAndTurnedBackWhenNobodyFollows() {
    use(How.STROBE, true);
    look();
    offer(1);
    look();
    assertWritten("position=505 mm", "strobe=true");
    device.put("echo", true);
    look();
    offer(2);
    look();
    assertWritten("position=505 mm", "strobe=false");

    now += VALIDITY;
    look();

    assertWritten("strobe=true");
    assertThat(replies).containsExactly(new Replied(1, true, null));
  }

  @Test
  void aNewNumberIsAnsweredByItsEcho() {
    use(How.SEQUENCE, false);
    offer(17);
    look();
    assertWritten("position=505 mm", "sequence=17");
    activeSequence = 16;
    look();
    assertThat(replies).isEmpty();
    activeSequence = 17;
    look();

    assertThat(replies).containsExactly(new Replied(17, true, null));
  }

  @Test
  void anErrorThatStoodBeforeIsNotThisTargets() {
    device.put("error", false);
    use(How.SEQUENCE, false);
    device.put("error", true);
    offer(17);
    look();
    look();
    assertThat(replies).isEmpty();
    device.put("error", false);
    look();
    device.put("error", true);
    look();

    assertThat(replies).hasSize(1);
    assertThat(replies.get(0).accepted()).isFalse();
  }

  @Test
  void aMessageIsAnsweredByTheAnswerThatNamesItsNumber() {
    use(How.MESSAGE, false);
    offer(17);
    look();
    assertWritten("command");
    device.put("answer", 16L);
    device.put("accepted", true);
    look();
    assertThat(replies).isEmpty();
    device.put("answer", 17L);
    device.put("accepted", false);
    device.put("reason", "out of travel");
    look();

    assertThat(replies).containsExactly(new Replied(17, false, "out of travel"));
  }

  /** PLCopen Motion Control, part 1: the rising edge of Execute starts, the falling one clears. */
  @Test
  void executeStaysOnUntilTheMoveIsDone() {
    use(How.PLCOPEN, false);
    look();
    offer(1);
    look();
    assertWritten("execute=false", "position=505 mm", "execute=true");
    device.put("busy", true);
    look();
    assertThat(replies).containsExactly(new Replied(1, true, null));
    look();
    assertWritten();
    device.put("busy", false);
    device.put("done", true);
    look();
    assertWritten("execute=false");
    offer(2);
    look();
    assertWritten();
    device.put("done", false);
    look();
    look();
    assertWritten("position=505 mm", "execute=true");
  }

  @Test
  void aMoveTooShortToBeSeenBusyIsAcceptedByDone() {
    use(How.PLCOPEN, false);
    look();
    offer(1);
    look();
    device.put("done", true);
    look();

    assertThat(replies).containsExactly(new Replied(1, true, null));
  }

  @Test
  void anErrorOfTheBlockIsARefusalWithItsId() {
    use(How.PLCOPEN, false);
    look();
    offer(1);
    look();
    written.clear();
    device.put("error", true);
    device.put("error-id", 33);
    look();

    assertWritten("execute=false");
    assertThat(replies).containsExactly(new Replied(1, false, "the device reports error 33"));
  }

  @Test
  void aTargetThatTheDeviceIsNotReadyForIsRefusedWithTheReasonInTime() {
    use(How.PLCOPEN, false);
    device.put("done", true);
    offer(1);
    look();
    now += VALIDITY - 150_000_000L;
    look();

    assertWritten("execute=false");
    assertThat(replies)
        .containsExactly(
            new Replied(
                1, false, "an output of the last move is still on although Execute is off"));
  }

  @Test
  void aTargetThatHadToWaitIsNotGivenToASawThatWasStartedMeanwhile() {
    use(How.STROBE, false);
    device.put("echo", true);
    offer(1);
    look();
    device.put("echo", false);
    permitted = false;
    look();
    look();

    assertWritten("strobe=false");
    assertThat(replies).containsExactly(new Replied(1, false, "a permit was gone by then"));
  }

  @Test
  void oneTargetIsUnderWayAtATime() {
    use(How.SEQUENCE, false);

    assertThat(offer(1)).isTrue();
    assertThat(offer(2)).isFalse();
  }
}
