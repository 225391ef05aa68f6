package org.kerftally.sim;

import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.Objects;
import java.util.SplittableRandom;
import java.util.function.LongFunction;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceFault;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

/**
 * Is the whole simulated machine as a state machine that is stepped from outside.
 *
 * <p>It has no clock and no thread. Time is a number of simulated nanoseconds that the caller
 * passes in and that never falls; chance comes from a seeded generator; wall-clock times, boot ids
 * and the place where cuts are recorded are handed in. So the same configuration, seed, script and
 * calls give the same history to the last bit, and a test runs an hour of work in a few
 * milliseconds.
 *
 * <p>Every part says when it next has something due. {@link #advance} goes from one due moment to
 * the next, never past one, so that each change of state exists for the caller who steps by {@link
 * #nextNanos}. Two rules hold at every moment and are checked here rather than hoped for: the stop
 * does not move unless the saw is idle, and a cut is recorded before it is counted.
 *
 * <p>Power-up makes a new boot id, forgets target and prompt, zeroes the panel's totals and looks
 * for the reference without travelling; count and last cut stay only with a non-volatile memory.
 * Nothing moves until a target is accepted.
 *
 * <p>Threading: none; one thread owns it.
 */
final class Machine {

  /** The highest sequence number a target may have: it must fit an OPC UA UInt32. */
  static final long MAX_SEQUENCE = 0xFFFF_FFFFL;

  private final SimConfig config;
  private final Supplier<String> bootIds;
  private final LongFunction<Instant> wallTime;
  private final Recorder recorder;
  private final Drive drive;
  private final Saw saw = new Saw();
  private final Panel panel = new Panel();
  private final Operator operator;
  private final Deque<TimedAction> script;
  private final Faults faults = new Faults();
  private final Homing homing;

  private long nowNanos;
  private String boot;
  private long count;
  private @Nullable LastCut lastCut;
  private boolean remoteAllowed = true;
  private long powerOnNanos = Long.MAX_VALUE;
  private @Nullable String material;
  private Length nextStickShorter = Length.ZERO;

  /**
   * Makes a machine that was powered up at simulated time zero.
   *
   * @param config its figures; speed, seed and files are not looked at
   * @param random every chance
   * @param bootIds gives a new id for each power-up
   * @param wallTime gives the wall-clock time of a simulated one
   * @param recorder takes each power-up, cut, press and move before it shows
   * @param memory what it remembers from before
   * @param script timed actions in order of time
   */
  Machine(
      SimConfig config,
      SplittableRandom random,
      Supplier<String> bootIds,
      LongFunction<Instant> wallTime,
      Recorder recorder,
      NonVolatile memory,
      List<TimedAction> script) {
    this.config = config;
    this.bootIds = bootIds;
    this.wallTime = wallTime;
    this.recorder = recorder;
    this.homing = new Homing(config.motion().homing().toNanos());
    this.drive = new Drive(config, random.split());
    this.operator = new Operator(config.operator(), random.split());
    this.script = new ArrayDeque<>(script);
    this.count = memory.count();
    this.lastCut = memory.lastCut();
    this.boot = bootIds.get();
    homing.seek(0);
    recorder.powerUp(memory.in(boot), now());
  }

  /** Returns the present simulated time. */
  long nowNanos() {
    return nowNanos;
  }

  boolean isMoving() {
    return drive.isMoving();
  }

  boolean isPowered() {
    return powerOnNanos == Long.MAX_VALUE;
  }

  @Nullable Length target() {
    return drive.target();
  }

  /** Returns the wall-clock time, as it is written down. */
  private Instant now() {
    return wallTime.apply(nowNanos).truncatedTo(ChronoUnit.MILLIS);
  }

  /** Returns when something is next due, {@link Long#MAX_VALUE} for never. */
  long nextNanos() {
    TimedAction next = script.peek();
    long due = next == null ? Long.MAX_VALUE : next.atNanos();
    if (!isPowered()) {
      return Math.min(due, powerOnNanos);
    }
    due = Math.min(due, Math.min(drive.nextNanos(), saw.nextNanos()));
    return Math.min(due, Math.min(homing.nextNanos(), operator.nextNanos()));
  }

  /** Lets time pass up to and including {@code toNanos}. */
  void advance(long toNanos) {
    for (long due = nextNanos(); due <= toNanos; due = nextNanos()) {
      nowNanos = Math.max(nowNanos, due);
      step();
    }
    nowNanos = Math.max(nowNanos, toNanos);
  }

  private void step() {
    if (isPowered()) {
      if (homing.advance(nowNanos)) {
        faults.remove(DeviceFault.HOMING_LOST);
      }
      drive.advance(nowNanos);
      switch (saw.advance(nowNanos)) {
        case NONE -> {}
        case CUT -> countCut();
        case GUARD_FAILED -> raise(DeviceFault.GUARD_NOT_CLOSED);
      }
      Operator.Deed deed = operator.act(nowNanos, view());
      if (deed != null) {
        perform(deed);
      }
    } else if (nowNanos >= powerOnNanos) {
      powerUp();
    }
    for (TimedAction next = script.peek();
        next != null && next.atNanos() <= nowNanos;
        next = script.peek()) {
      script.remove();
      act(next.action());
    }
    settle();
  }

  /** Ends every change: checks the rule of the stop, and lets the operator look. */
  private void settle() {
    if (drive.isMoving() && !saw.isIdle()) {
      throw new IllegalStateException("the stop moves while the saw is " + saw.state());
    }
    if (isPowered()) {
      operator.consider(nowNanos, view());
    }
  }

  private Operator.View view() {
    boolean mayCut = !panel.state().paused() && faults.isEmpty();
    return new Operator.View(drive.isReached(), drive.activeSequence(), saw.isIdle(), mayCut);
  }

  /** Takes or refuses a target, see {@link SimDevice#moveAbsolute}. */
  Answer moveAbsolute(Length position, long seq) {
    if (!isPowered()) {
      return Answer.refused("no power");
    }
    if (seq < 1 || seq > MAX_SEQUENCE) {
      return Answer.refused("sequence " + seq + " is not within 1 to " + MAX_SEQUENCE);
    }
    if (drive.holds(position, seq)) {
      return Answer.accepted();
    }
    String objection = withheldPermit();
    if (objection == null) {
      objection = drive.objection(position, seq);
    }
    if (objection != null) {
      return Answer.refused(objection);
    }
    recorder.begun(boot, seq, position, now());
    drive.accept(position, seq, nowNanos);
    settle();
    return Answer.accepted();
  }

  private @Nullable String withheldPermit() {
    DeviceFault fault = faults.first();
    if (fault != null) {
      return (faults.disableDrive() ? "drive not enabled: " : "fault: ") + fault.text();
    }
    if (!homing.isAttained()) {
      return "homing not attained";
    }
    if (!remoteAllowed) {
      return "remote not allowed";
    }
    if (!saw.isIdle()) {
      return "saw not idle: " + (saw.state() == SawState.GUARD_DOWN ? "guard down" : "blade out");
    }
    return null;
  }

  /** Starts a saw cycle as the foot or the hand at the saw does; tells whether it started. */
  boolean stroke() {
    if (!isPowered() || !saw.isIdle() || faults.stopSaw()) {
      return false;
    }
    drive.halt(nowNanos);
    saw.start(config.saw().cycleFor(material), nowNanos);
    settle();
    return true;
  }

  private void countCut() {
    LastCut cut =
        new LastCut(boot, count + 1, drive.activeSequence(), drive.position(nowNanos), now());
    recorder.cut(cut);
    lastCut = cut;
    count = cut.count();
    operator.seeCut(cut.seq());
  }

  private void perform(Operator.Deed deed) {
    switch (deed) {
      case LOAD -> loadAskedStick();
      case STROKE -> stroke();
      case REJECT -> press(Button.REJECTED, null);
      case ACKNOWLEDGE -> press(Button.ACKNOWLEDGE, null);
    }
  }

  private void loadAskedStick() {
    Length asked = operator.askedLength();
    material = operator.askedMaterial();
    Length measured = null;
    if (asked != null && config.operator().measures()) {
      measured = asked.minus(nextStickShorter).max(Length.ZERO);
    }
    nextStickShorter = Length.ZERO;
    press(Button.STICK_LOADED, measured);
  }

  /** Shows the operator a prompt; without power nobody sees it. */
  void show(Prompt prompt) {
    if (isPowered()) {
      operator.read(prompt);
      settle();
    }
  }

  /** Does something to the machine from outside. Without power only the hand's doings take. */
  void act(Action action) {
    Length length = action.length();
    switch (action.kind()) {
      case ESTOP -> raise(DeviceFault.EMERGENCY_STOP);
      case ESTOP_RELEASE -> faults.remove(DeviceFault.EMERGENCY_STOP);
      case DRIVE_FAULT -> raise(DeviceFault.DRIVE_FAULT);
      case FOLLOWING_ERROR -> raise(DeviceFault.FOLLOWING_ERROR);
      case HOMING_LOST -> loseHoming();
      case REHOME -> homing.seek(nowNanos);
      case LOW_AIR -> raise(DeviceFault.LOW_AIR);
      case AIR_OK -> faults.remove(DeviceFault.LOW_AIR);
      case DOOR_OPEN -> raise(DeviceFault.BLADE_DOOR_OPEN);
      case DOOR_CLOSED -> faults.remove(DeviceFault.BLADE_DOOR_OPEN);
      case GUARD_STUCK -> saw.stickGuard();
      case CLEAR -> faults.reset();
      case POWER_CYCLE -> powerOff(Objects.requireNonNullElse(action.duration(), Action.POWER_OFF));
      case DOUBLE_STROKE -> saw.makeNextDouble();
      case STRAY_STROKE -> stroke();
      case PAUSE -> panel.pause(true);
      case RESUME -> panel.pause(false);
      case STICK_LOADED -> press(Button.STICK_LOADED, length);
      case REJECT -> press(Button.REJECTED, null);
      case DEFECT -> press(Button.DEFECT, length);
      case SHORT_STICK -> nextStickShorter = Objects.requireNonNull(length);
      case ACKNOWLEDGE -> press(Button.ACKNOWLEDGE, null);
      case REMOTE_OFF -> {
        remoteAllowed = false;
        drive.halt(nowNanos);
      }
      case REMOTE_ON -> remoteAllowed = true;
    }
    settle();
  }

  /** Presses a button; without power nothing counts it. */
  void press(Button button, @Nullable Length value) {
    if (isPowered()) {
      recorder.pressed(boot, button, panel.total(button) + 1, now());
      panel.press(button, value);
    }
  }

  private void raise(DeviceFault fault) {
    if (!isPowered() && !Faults.isPhysical(fault)) {
      return;
    }
    faults.add(fault);
    drive.halt(nowNanos);
    if (Faults.isPhysical(fault)) {
      saw.abort(nowNanos);
    }
  }

  private void loseHoming() {
    if (isPowered()) {
      homing.lose();
      raise(DeviceFault.HOMING_LOST);
    }
  }

  private void powerOff(Duration off) {
    drive.halt(nowNanos);
    saw.losePower();
    homing.lose();
    powerOnNanos = nowNanos + Math.max(1, off.toNanos());
  }

  private void powerUp() {
    String newBoot = bootIds.get();
    NonVolatile memory =
        config.memory() == null ? NonVolatile.EMPTY : new NonVolatile(boot, count, lastCut);
    recorder.powerUp(memory.in(newBoot), now());
    powerOnNanos = Long.MAX_VALUE;
    boot = newBoot;
    count = memory.count();
    lastCut = memory.lastCut();
    faults.powerUp();
    drive.forgetTarget();
    panel.powerUp();
    operator.startOver();
    homing.seek(nowNanos);
  }

  /** Returns every signal as it is now. Without power nothing is permitted and the saw unknown. */
  DeviceSnapshot snapshot() {
    boolean powered = isPowered();
    DeviceFault fault = faults.first();
    return new DeviceSnapshot(
        boot,
        count,
        lastCut,
        drive.activeSequence(),
        drive.position(nowNanos),
        powered && drive.isReached(),
        powered && homing.isAttained(),
        powered && !faults.disableDrive(),
        powered && remoteAllowed,
        powered ? saw.state() : SawState.UNKNOWN,
        fault == null ? 0 : fault.code(),
        fault == null ? "" : fault.text(),
        panel.state());
  }
}
