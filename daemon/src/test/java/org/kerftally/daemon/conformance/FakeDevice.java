package org.kerftally.daemon.conformance;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.List;
import java.util.PriorityQueue;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/**
 * A device that keeps the contract, or breaks it in the ways it is told to. Its time is its own: it
 * passes only while somebody waits for the next event, so a test of minutes takes milliseconds.
 */
class FakeDevice implements Bench {

  /** Ways to break the contract. */
  enum Flaw {
    NO_ANSWER,
    REFUSES_ALL,
    NO_ECHO,
    WRONG_WAY,
    TEN_TIMES_THE_STEP,
    READS_INCHES,
    DOES_NOT_MOVE,
    STOPS_SHORT,
    SAYS_REACHED_EARLY,
    NEVER_SAYS_REACHED,
    STROKE_WHILE_MOVING,
    LINK_LOST_WHILE_MOVING,
    NOT_SENT,
    UNREADABLE_SIGNAL,
    EMPTY_BOOT,
    OTHER_LAST_COUNT,
    LEAVES_TRAVEL,
    TAKES_OUT_OF_TRAVEL,
    TAKES_OLD_NUMBERS,
    TAKES_REPEATED_NUMBERS,
    TAKES_EXPIRED,
    TAKES_OTHER_BOOTS,
    TAKES_WHILE_BUSY,
    TAKES_WITHOUT_REMOTE,
    TAKES_IN_EMERGENCY,
    MOVES_THOUGH_REFUSING,
    COUNTS_TWICE,
    COUNTS_SECOND_TWICE,
    FORGETS_LAST_CUT,
    OTHER_LAST_NUMBER,
    OTHER_LAST_POSITION,
    PRESSES_TWICE,
    LOADS_TWICE,
    LOSES_COUNT_ON_RECONNECT,
    DOUBLES_COUNT_ON_RECONNECT,
    MOVES_ON_RECONNECT,
    FORGETS_NUMBER_ON_RECONNECT,
    SAME_BOOT_AFTER_POWER_UP,
    MOVES_AFTER_POWER_UP,
    OTHER_COUNT_AFTER_POWER_UP,
    KEEPS_TARGET_AFTER_POWER_UP
  }

  private static final Length STEP = Length.ofNm(500_000);
  static final long TICK = 20_000_000;
  private static final long ANSWER = 15_000_000;
  static final Instant DAY = Instant.parse("2027-03-01T09:00:00Z");

  private record Due(long at, long order, Runnable deed) {}

  final Set<Flaw> flaws = EnumSet.noneOf(Flaw.class);
  final List<String> said = new ArrayList<>();
  final List<Target> received = new ArrayList<>();

  private final PriorityQueue<Due> dues =
      new PriorityQueue<>(Comparator.comparingLong(Due::at).thenComparingLong(Due::order));
  private final List<LinkEvent> events = new ArrayList<>();
  private long now = 1_000;
  private long order;

  String boot = "b1";
  long count;
  @Nullable LastCut lastCut;
  long active;
  Length position = Length.ofMm(500);
  boolean reached;
  boolean homed = true;
  boolean enabled = true;
  boolean remote = true;
  SawState saw = SawState.IDLE;
  int fault;
  OperatorPanel panel = OperatorPanel.UNTOUCHED;

  boolean has(Flaw flaw) {
    return flaws.contains(flaw);
  }

  void after(long nanos, Runnable deed) {
    dues.add(new Due(now + nanos, order++, deed));
  }

  DeviceSnapshot snapshot() {
    return new DeviceSnapshot(
        boot, count, lastCut, active, read(), reached, homed, enabled, remote, saw, fault, "",
        panel);
  }

  private Length read() {
    return has(Flaw.READS_INCHES) ? Length.ofNm(Math.round(position.nm() / 25.4)) : position;
  }

  void tell() {
    events.add(new LinkEvent.Snapshot(snapshot()));
  }

  void say(LinkEvent event) {
    events.add(event);
  }

  void stroke() {
    count++;
    lastCut = new LastCut(boot, count, active, position, null);
    tell();
  }

  @Override
  public long nanos() {
    return now;
  }

  @Override
  public Instant wall() {
    return DAY.plusNanos(now);
  }

  @Override
  public @Nullable LinkEvent next(Duration most) {
    long until = now + most.toNanos();
    while (events.isEmpty()) {
      Due due = dues.peek();
      if (due == null || due.at() > until) {
        now = until;
        return null;
      }
      dues.remove();
      now = Math.max(now, due.at());
      due.deed().run();
    }
    return events.remove(0);
  }

  @Override
  public boolean send(Target target) {
    if (has(Flaw.NOT_SENT)) {
      return false;
    }
    received.add(target);
    after(ANSWER, () -> take(target));
    return true;
  }

  void take(Target target) {
    if (has(Flaw.NO_ANSWER)) {
      return;
    }
    String objection = objection(target);
    say(new LinkEvent.Replied(target.seq(), objection == null, objection));
    if (objection != null) {
      if (has(Flaw.MOVES_THOUGH_REFUSING)) {
        after(TICK, () -> moveOn(target.position()));
      }
      return;
    }
    accept(target);
  }

  /** Returns why a target is refused; the device that only moves takes all. */
  @Nullable String objection(Target target) {
    return has(Flaw.REFUSES_ALL) ? "error 7" : null;
  }

  void accept(Target target) {
    if (!has(Flaw.NO_ECHO)) {
      active = target.seq();
    }
    reached = has(Flaw.SAYS_REACHED_EARLY);
    Length step = target.position().minus(position);
    Length end = target.position();
    if (has(Flaw.WRONG_WAY)) {
      end = position.minus(step);
    } else if (has(Flaw.TEN_TIMES_THE_STEP)) {
      end = position.plus(step.times(10));
    } else if (has(Flaw.DOES_NOT_MOVE)) {
      end = position;
    } else if (has(Flaw.STOPS_SHORT)) {
      end = target.position().minus(Length.ofNm(step.nm() / 4));
    }
    Length goal = end;
    tell();
    if (has(Flaw.STROKE_WHILE_MOVING)) {
      after(TICK, this::stroke);
    }
    if (has(Flaw.LINK_LOST_WHILE_MOVING)) {
      after(TICK, () -> say(new LinkEvent.Down("the session is gone")));
    }
    after(TICK, () -> moveOn(goal));
  }

  void moveOn(Length goal) {
    Length left = goal.minus(position);
    if (left.abs().isMoreThan(STEP)) {
      position = position.plus(left.isNegative() ? STEP.times(-1) : STEP);
      after(TICK, () -> moveOn(goal));
    } else {
      position = goal;
      reached = !has(Flaw.NEVER_SAYS_REACHED) && !has(Flaw.STOPS_SHORT);
    }
    tell();
  }

  @Override
  public void say(String line) {
    said.add(line);
  }
}
