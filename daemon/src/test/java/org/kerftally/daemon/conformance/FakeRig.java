package org.kerftally.daemon.conformance;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/**
 * The fake device with its own objections, a saw, a power switch and a person who does as asked.
 */
final class FakeRig extends FakeDevice implements Rig {

  private static final long SECOND = 1_000_000_000L;
  private static final Length END = Length.ofMm(6_000);

  boolean attended = true;
  int sentBeforeReconnect = -1;
  private boolean late;
  private long highest;
  private int strokes;
  private @Nullable Length wanted;

  @Override
  public List<String> signalFaults() {
    return has(Flaw.UNREADABLE_SIGNAL) ? List.of("Enabled cannot be read") : List.of();
  }

  @Override
  public void late(boolean on) {
    late = on;
  }

  @Override
  public boolean send(Target target) {
    if (!late && !wall().isBefore(target.validUntil())) {
      return false;
    }
    return super.send(target);
  }

  @Override
  @Nullable String objection(Target target) {
    List<String> against = new ArrayList<>();
    if (fault != 0 && !has(Flaw.TAKES_IN_EMERGENCY)) {
      against.add("emergency stop");
    }
    if (!remote && !has(Flaw.TAKES_WITHOUT_REMOTE)) {
      against.add("remote is off");
    }
    if (saw != SawState.IDLE && !has(Flaw.TAKES_WHILE_BUSY)) {
      against.add("saw is busy");
    }
    if (target.position().isMoreThan(END) && !has(Flaw.TAKES_OUT_OF_TRAVEL)) {
      against.add("outside the travel");
    }
    boolean old = target.seq() < highest && !has(Flaw.TAKES_OLD_NUMBERS);
    if (old || (target.seq() == highest && !has(Flaw.TAKES_REPEATED_NUMBERS))) {
      against.add("number is not above " + highest);
    }
    if (!wall().isBefore(target.validUntil()) && !has(Flaw.TAKES_EXPIRED)) {
      against.add("expired");
    }
    if (!boot.equals(target.boot()) && !has(Flaw.TAKES_OTHER_BOOTS)) {
      against.add("another power-up");
    }
    String general = super.objection(target);
    if (general != null) {
      return general;
    }
    return against.isEmpty() ? null : against.get(0);
  }

  @Override
  void accept(Target target) {
    highest = Math.max(highest, target.seq());
    wanted = target.position();
    super.accept(target);
    if (has(Flaw.LEAVES_TRAVEL)) {
      position = Length.ofMm(10);
      tell();
    }
  }

  @Override
  public void reconnect() {
    if (sentBeforeReconnect < 0) {
      sentBeforeReconnect = received.size();
    }
    if (has(Flaw.LOSES_COUNT_ON_RECONNECT)) {
      count--;
    } else if (has(Flaw.DOUBLES_COUNT_ON_RECONNECT)) {
      count++;
    }
    if (has(Flaw.FORGETS_NUMBER_ON_RECONNECT)) {
      active = 0;
    }
    after(SECOND / 2, () -> say(new LinkEvent.Up(snapshot())));
    if (has(Flaw.MOVES_ON_RECONNECT)) {
      after(SECOND, () -> moveOn(position.plus(Length.ofMm(5))));
    }
  }

  @Override
  public void show(Prompt prompt) {
    if (!attended) {
      return;
    }
    String text = prompt.text();
    if (prompt.kind() == Prompt.Kind.CUT) {
      after(SECOND, this::cycle);
    } else if (prompt.kind() == Prompt.Kind.ACKNOWLEDGE) {
      after(SECOND, () -> press(1, 0));
    } else if (prompt.kind() == Prompt.Kind.LOAD_STICK) {
      after(SECOND, () -> press(0, 1));
    } else if (text.startsWith("Bring the saw")) {
      change(() -> saw = SawState.GUARD_DOWN);
    } else if (text.startsWith("Let the saw")) {
      change(() -> saw = SawState.IDLE);
    } else if (text.startsWith("Switch remote off")) {
      change(() -> remote = false);
    } else if (text.startsWith("Switch remote on")) {
      change(() -> remote = true);
    } else if (text.startsWith("Press the emergency")) {
      change(() -> fault = 1);
    } else if (text.startsWith("Release the emergency")) {
      change(() -> fault = 0);
    } else if (text.startsWith("Power the device")) {
      after(SECOND, this::powerCycle);
    }
  }

  private void change(Runnable deed) {
    after(
        SECOND,
        () -> {
          deed.run();
          tell();
        });
  }

  private void press(long acknowledged, long loaded) {
    OperatorPanel p = panel;
    panel =
        new OperatorPanel(
            p.stickLoaded() + loaded * (has(Flaw.LOADS_TWICE) ? 2L : 1L),
            null,
            p.rejected(),
            p.defects(),
            null,
            p.acknowledged() + acknowledged * (has(Flaw.PRESSES_TWICE) ? 2L : 1L),
            p.paused());
    tell();
  }

  private void cycle() {
    strokes++;
    saw = SawState.GUARD_DOWN;
    tell();
    after(
        SECOND,
        () -> {
          boolean twice = has(Flaw.COUNTS_TWICE) || (has(Flaw.COUNTS_SECOND_TWICE) && strokes == 2);
          count += twice ? 2 : 1;
          lastCut =
              has(Flaw.FORGETS_LAST_CUT)
                  ? null
                  : new LastCut(
                      boot,
                      count,
                      active + (has(Flaw.OTHER_LAST_NUMBER) ? 1 : 0),
                      has(Flaw.OTHER_LAST_POSITION) ? position.plus(Length.ofMm(1)) : position,
                      null);
          tell();
        });
    change(2, () -> saw = SawState.IDLE);
  }

  private void change(long seconds, Runnable deed) {
    after(
        seconds * SECOND,
        () -> {
          deed.run();
          tell();
        });
  }

  private void powerCycle() {
    say(new LinkEvent.Down("no power"));
    after(SECOND, this::powerUp);
  }

  private void powerUp() {
    if (!has(Flaw.SAME_BOOT_AFTER_POWER_UP)) {
      boot = "b2";
    }
    if (!has(Flaw.KEEPS_TARGET_AFTER_POWER_UP)) {
      active = 0;
    }
    if (has(Flaw.OTHER_COUNT_AFTER_POWER_UP)) {
      count = 77;
    }
    reached = false;
    say(new LinkEvent.Up(snapshot()));
    Length goal = wanted;
    if (has(Flaw.MOVES_AFTER_POWER_UP) && goal != null) {
      after(SECOND, () -> moveOn(goal.plus(Length.ofMm(5))));
    }
  }

  @Override
  DeviceSnapshot snapshot() {
    DeviceSnapshot now = super.snapshot();
    LastCut cut = now.lastCut();
    if (cut != null && has(Flaw.OTHER_LAST_COUNT)) {
      now = now.withLastCut(new LastCut(boot, cut.count() + 1, cut.seq(), cut.position(), null));
    }
    return now;
  }
}
