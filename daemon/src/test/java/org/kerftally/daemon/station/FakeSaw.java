package org.kerftally.daemon.station;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/** A positioner and saw that keeps the device contract to the letter and remembers the truth. */
final class FakeSaw {

  /** What really happened: one saw cycle. */
  record Cycle(String boot, long count, long seq, Length position) {}

  final List<Cycle> truth = new ArrayList<>();
  final List<String> breaches = new ArrayList<>();
  boolean memory = true;
  int boots = 1;
  long count;
  @Nullable LastCut last;
  long activeSeq;
  long highestSeq;
  Length position = Length.ofMm(100);
  boolean reached;
  boolean homed = true;
  boolean enabled = true;
  boolean remote = true;
  SawState saw = SawState.IDLE;
  int fault;
  long stickLoaded;
  @Nullable Length stickLength;
  long rejected;
  long defects;
  @Nullable Length defectAt;
  long acknowledged;
  boolean paused;

  /** Refuses every target. */
  boolean refusing;

  /** Takes no target and answers none. */
  boolean deaf;

  /** Takes a target and stays short of it. */
  boolean slow;

  String boot() {
    return "boot-" + boots;
  }

  DeviceSnapshot snapshot() {
    return new DeviceSnapshot(
        boot(),
        count,
        last,
        activeSeq,
        position,
        reached,
        homed,
        enabled,
        remote,
        saw,
        fault,
        "",
        new OperatorPanel(
            stickLoaded, stickLength, rejected, defects, defectAt, acknowledged, paused));
  }

  /** Moves at once, or refuses. Moving while it must not is a breach by the caller of nothing. */
  LinkEvent.Replied take(Target target) {
    if (refusing) {
      return new LinkEvent.Replied(target.seq(), false, "not now");
    }
    if (!snapshot().permitsMove()) {
      return new LinkEvent.Replied(target.seq(), false, "not permitted now");
    }
    if (target.seq() <= highestSeq) {
      breaches.add("sequence number went back: " + target.seq() + " after " + highestSeq);
      return new LinkEvent.Replied(target.seq(), false, "old number");
    }
    if (activeSeq != 0 && truth.stream().noneMatch(c -> c.seq() == activeSeq)) {
      superseded.add(activeSeq);
    }
    highestSeq = target.seq();
    activeSeq = target.seq();
    position = slow ? position : target.position();
    reached = !slow;
    return new LinkEvent.Replied(target.seq(), true, null);
  }

  /** Targets that were replaced at the machine before they were cut. */
  final List<Long> superseded = new ArrayList<>();

  /** Makes one saw cycle where the stop stands. */
  Cycle stroke() {
    return stroke(position);
  }

  Cycle stroke(Length at) {
    count++;
    Cycle cycle = new Cycle(boot(), count, activeSeq, at);
    truth.add(cycle);
    last = new LastCut(boot(), count, activeSeq, at, null);
    return cycle;
  }

  void powerCycle() {
    boots++;
    activeSeq = 0;
    reached = false;
    fault = 0;
    stickLoaded = 0;
    rejected = 0;
    defects = 0;
    acknowledged = 0;
    if (!memory) {
      count = 0;
      last = null;
      highestSeq = 0;
    }
  }

  Optional<LastCut> lastCut() {
    return Optional.ofNullable(last);
  }
}
