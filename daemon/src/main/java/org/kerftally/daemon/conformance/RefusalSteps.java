package org.kerftally.daemon.conformance;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/** Steps that send what a device in order does not take. Each says so before it sends. */
final class RefusalSteps {

  /** How long a stop is watched after what it should not move by. */
  private static final Duration WATCH = Duration.ofMillis(1_500);

  /** How late a late target is: beyond what clocks may differ by. */
  private static final Duration LATE = Duration.ofSeconds(5);

  private static final String HELD_BACK =
      "with this handshake Kerftally itself holds a target back while a permit is missing: try it"
          + " from the machine's own panel";

  private final Session session;

  /** What came of a target that should not be taken. */
  private record Seen(
      boolean sent,
      @Nullable Boolean accepted,
      @Nullable String reason,
      boolean shown,
      Length strayed,
      DeviceSnapshot atAnswer) {}

  RefusalSteps(Session session) {
    this.session = session;
  }

  /** Steps with every permit: travel, numbers, time. */
  void ofTargets(boolean pastTheEnd) throws InterruptedException {
    outOfTravel(pastTheEnd);
    oldNumber();
    repeatedNumber();
    expired();
    otherBoot();
  }

  private boolean mayNot(Step step) throws InterruptedException {
    String why = session.whyNoMove();
    if (why != null) {
      session.skip(step, why);
    }
    return why != null;
  }

  private void outOfTravel(boolean pastTheEnd) throws InterruptedException {
    if (!pastTheEnd) {
      session.skip(
          Step.OUT_OF_TRAVEL,
          "a device that takes it runs against its end stop: asked for by --past-the-end alone");
      return;
    }
    MoveConfig move = session.station.link().wiring().move();
    if (!session.isContract()
        && move.pointOrNull("error") == null
        && move.pointOrNull("accepted") == null
        && move.pointOrNull("command-aborted") == null) {
      session.skip(Step.OUT_OF_TRAVEL, "the mapping has no way to refuse a target");
    } else if (!mayNot(Step.OUT_OF_TRAVEL)) {
      Target target = session.target(session.span.outside(), session.nextNumber());
      judge(Step.OUT_OF_TRAVEL, "position " + Figures.mm(target.position()), send(target), true);
    }
  }

  private void oldNumber() throws InterruptedException {
    if (!session.isContract()) {
      session.skip(Step.OLD_NUMBER, "only the device contract puts numbers in order");
    } else if (session.device().activeSequence() < 2) {
      session.skip(Step.OLD_NUMBER, "the device shows no number above 1");
    } else if (!mayNot(Step.OLD_NUMBER)) {
      long old = session.device().activeSequence() - 1;
      judge(
          Step.OLD_NUMBER,
          "number " + old + " after " + session.device().activeSequence(),
          send(session.target(session.other(), old)),
          true);
    }
  }

  private void repeatedNumber() throws InterruptedException {
    MoveConfig.How how = session.station.link().wiring().move().how();
    if (how == MoveConfig.How.STROBE || how == MoveConfig.How.PLCOPEN) {
      session.skip(Step.REPEATED_NUMBER, "the handshake carries no number");
    } else if (session.device().activeSequence() < 1) {
      session.skip(Step.REPEATED_NUMBER, "the device shows no number");
    } else if (!mayNot(Step.REPEATED_NUMBER)) {
      long same = session.device().activeSequence();
      Seen seen = send(session.target(session.other(), same));
      // Where the echo is the answer, a number that stands there already reads as taken.
      judge(Step.REPEATED_NUMBER, "number " + same + " again", seen, session.isContract());
    }
  }

  private boolean carriesTime() {
    return session.isContract() && session.station.link() instanceof MqttLinkConfig;
  }

  private void expired() throws InterruptedException {
    if (!carriesTime()) {
      session.skip(
          Step.EXPIRED,
          session.isContract()
              ? "a call is stamped by the OPC UA stack: a late one cannot be made from here"
              : "the handshake carries no time");
    } else if (!mayNot(Step.EXPIRED)) {
      Target valid = session.target(session.other(), session.nextNumber());
      Target late =
          new Target(
              valid.seq(),
              valid.position(),
              null,
              valid.job(),
              session.rig.wall().minus(LATE),
              valid.validity(),
              valid.boot());
      session.rig.late(true);
      try {
        judge(Step.EXPIRED, "valid until " + LATE.toSeconds() + " s ago", send(late), true);
      } finally {
        session.rig.late(false);
      }
    }
  }

  private void otherBoot() throws InterruptedException {
    if (!carriesTime()) {
      session.skip(Step.OTHER_BOOT, "what is sent names no power-up");
    } else if (!mayNot(Step.OTHER_BOOT)) {
      Target target = session.target(session.other(), session.nextNumber());
      Target other =
          new Target(
              target.seq(),
              target.position(),
              null,
              target.job(),
              target.validUntil(),
              target.validity(),
              target.boot() + "-before");
      judge(Step.OTHER_BOOT, "boot " + other.boot(), send(other), true);
    }
  }

  /** Steps in which a person holds the machine in a state that permits no move. */
  void ofPermits() throws InterruptedException {
    hold(
        Step.SAW_BUSY,
        Signal.SAW_STATE,
        "Bring the saw out of idle and hold it there: guard down by hand, the blade locked out.",
        "Let the saw go back to idle.",
        d -> d.sawState() != SawState.IDLE);
    hold(
        Step.REMOTE_OFF,
        Signal.REMOTE_ALLOWED,
        "Switch remote off.",
        "Switch remote on again.",
        d -> !d.remoteAllowed());
    hold(
        Step.EMERGENCY_STOP,
        Signal.FAULT_CODE,
        "Press the emergency stop and leave it pressed.",
        "Release the emergency stop and reset the machine, as its manual says.",
        d -> d.faultCode() != 0 || !d.enabled());
    session.stop("the machine was held by a person since");
  }

  private void hold(
      Step step, Signal signal, String begin, String end, Predicate<DeviceSnapshot> held)
      throws InterruptedException {
    if (session.standsIn(step, signal)) {
      return;
    }
    if (!session.isContract()) {
      session.skip(step, HELD_BACK);
      return;
    }
    if (mayNot(step)) {
      return;
    }
    if (!session.ask(begin, Prompt.Kind.CLEAR_MACHINE, held)) {
      session.skip(step, session.unanswered());
      return;
    }
    Seen seen = send(session.target(session.other(), session.nextNumber()));
    if (!held.test(seen.atAnswer()) && Boolean.TRUE.equals(seen.accepted())) {
      session.skip(step, "the state was over before the device answered");
      session.strayed(WATCH);
    } else {
      judge(step, "a target meanwhile", seen, true);
    }
    session.ask(end, Prompt.Kind.CLEAR_MACHINE, d -> Permits.missing(d).isEmpty());
  }

  private Seen send(Target target) throws InterruptedException {
    Length from = session.device().position();
    Length most = Length.ZERO;
    boolean sent = session.rig.send(target);
    Boolean accepted = null;
    String reason = null;
    DeviceSnapshot atAnswer = session.device();
    boolean shown = false;
    long before = session.device().activeSequence();
    long until = session.rig.nanos() + target.validity().toNanos() + WATCH.toNanos();
    for (long left = until - session.rig.nanos(); sent && left > 0; ) {
      LinkEvent event = session.hear(Duration.ofNanos(left));
      if (event instanceof LinkEvent.Replied reply && reply.seq() == target.seq()) {
        if (accepted == null) {
          until = Math.min(until, session.rig.nanos() + WATCH.toNanos());
          atAnswer = session.device();
        }
        accepted = reply.accepted();
        reason = reply.reason();
      }
      DeviceSnapshot now = session.device();
      most = most.max(now.position().minus(from).abs());
      shown |= now.activeSequence() == target.seq() && before != target.seq();
      left = until - session.rig.nanos();
    }
    return new Seen(sent, accepted, reason, shown, most, atAnswer);
  }

  private void judge(Step step, String what, Seen seen, boolean answerCounts) {
    if (!seen.sent()) {
      session.skip(step, "the link did not send it");
      return;
    }
    List<String> wrong = new ArrayList<>();
    if (seen.strayed().isMoreThan(session.station.window())) {
      wrong.add("THE STOP MOVED by " + Figures.mm(seen.strayed()));
      session.stop("the stop moved by a target it should have refused");
    }
    if (answerCounts && Boolean.TRUE.equals(seen.accepted())) {
      wrong.add("the device took it");
      session.stop("the device took a target it should have refused");
    }
    if (seen.shown()) {
      wrong.add("ActiveSequence shows it");
    }
    String answer = seen.reason();
    session.judge(
        step,
        wrong.isEmpty() ? wrong : List.of(what + ": " + String.join(", ", wrong)),
        what + ": " + (answer != null ? "refused, " + answer : "passed over, nothing moved"));
  }
}
