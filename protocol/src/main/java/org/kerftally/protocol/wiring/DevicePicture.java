package org.kerftally.protocol.wiring;

import java.util.EnumMap;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

/**
 * Makes of a device's raw values the snapshot the device contract promises: converts what is
 * mapped, and lets stand-ins take the place of what is lacking.
 *
 * <p>What stands in is never better than what is known. Where a device has no boot id, a connection
 * is a power-up. Where it keeps no last cut, one is noted here when the count is seen to go up by
 * one, and none is made up for what was not seen. Where presses are levels, their edges are counted
 * here for as long as this process lives, so the boot's name carries this process's mark: to the
 * station, a restart of Kerftally is then a power-up, and no old press can count again.
 *
 * <p>Threading: none; belongs to one link's thread, for as long as the link lives.
 */
public final class DevicePicture {

  private final WiringConfig wiring;
  private final Length window;
  private final String mark;
  private final boolean countsEdges;
  private final Map<Signal, Edges> edges = new EnumMap<>(Signal.class);

  private long connections;
  private @Nullable Seen seen;
  private @Nullable LastCut lastCut;
  private long heldSeq;
  private @Nullable Length heldPosition;

  /** Counts the edges of one flag. */
  private static final class Edges {
    private long total;
    private @Nullable Boolean last;
  }

  /** What the last reading said of cuts. */
  private record Seen(String boot, long count) {}

  /**
   * Makes the picture of a device that was never looked at.
   *
   * @param window how far from its target the stop still counts as in position
   * @param mark what tells this process from every other one: short, new at every start
   */
  public DevicePicture(WiringConfig wiring, Length window, String mark) {
    this.wiring = wiring;
    this.window = window;
    this.mark = mark;
    this.countsEdges = wiring.signals().values().stream().anyMatch(p -> p.count() != null);
  }

  /** Notes that a connection was made: nothing seen before it is compared with what comes. */
  public void connected() {
    connections++;
    seen = null;
    lastCut = null;
    heldSeq = 0;
    heldPosition = null;
    edges.values().forEach(e -> e.last = null);
  }

  /** Notes that the device took a target over the present connection. */
  public void took(long seq, Length position) {
    heldSeq = seq;
    heldPosition = position;
  }

  /**
   * Returns the snapshot of one reading.
   *
   * @param raw one value for each signal the device has
   * @throws SignalFault when a value cannot be used, naming its signal
   */
  public DeviceSnapshot take(Map<Signal, RawValue> raw) throws SignalFault {
    Map<Signal, RawValue> whole = new EnumMap<>(Signal.class);
    for (Map.Entry<Signal, RawValue> entry : raw.entrySet()) {
      Signal signal = entry.getKey();
      PointConfig point = wiring.signals().get(signal);
      if (point == null) {
        whole.put(signal, entry.getValue());
      } else if (signal.mayBeNone() && isNone(entry.getValue())) {
        putNone(whole, signal);
      } else if (point.count() != null) {
        whole.put(signal, RawValue.of(counted(signal, point, entry.getValue())));
      } else {
        whole.put(signal, PointValues.contract(signal, point, entry.getValue()));
      }
    }
    putSawState(whole);
    putBoot(whole);
    putAssumed(whole);
    if (wiring.lacks().contains(StandIn.LAST_CUT)) {
      whole.put(Signal.LAST_CUT_BOOT, RawValue.of(""));
    }
    DeviceSnapshot snapshot = ContractReader.read(whole);
    if (wiring.lacks().contains(StandIn.TARGET_REACHED)) {
      snapshot = snapshot.withTargetReached(isAtTarget(snapshot));
    }
    if (wiring.lacks().contains(StandIn.LAST_CUT)) {
      watch(snapshot);
      snapshot = snapshot.withLastCut(lastCut);
    }
    return snapshot;
  }

  private static boolean isNone(RawValue raw) {
    return raw.value() == null && raw.bad() == null;
  }

  /** No last cut is an empty boot in the contract; of all else nothing is there. */
  private static void putNone(Map<Signal, RawValue> whole, Signal signal) {
    if (signal == Signal.LAST_CUT_BOOT) {
      whole.put(signal, RawValue.of(""));
    }
  }

  private long counted(Signal signal, PointConfig point, RawValue raw) throws SignalFault {
    boolean now = PointValues.flag(signal.contractName(), point, raw);
    Edges of = edges.computeIfAbsent(signal, s -> new Edges());
    boolean counts = (point.count() == PointConfig.Edge.RISING) == now;
    if (of.last != null && of.last != now && counts) {
      of.total++;
    }
    of.last = now;
    return of.total;
  }

  private static void putSawState(Map<Signal, RawValue> whole) throws SignalFault {
    RawValue guard = whole.remove(Signal.GUARD_UP);
    RawValue blade = whole.remove(Signal.BLADE_IN);
    if (guard != null && blade != null) {
      boolean up = Boolean.TRUE.equals(guard.value());
      boolean in = Boolean.TRUE.equals(blade.value());
      SawState state = !in ? SawState.BLADE_OUT : up ? SawState.IDLE : SawState.GUARD_DOWN;
      whole.put(Signal.SAW_STATE, RawValue.of(state.code()));
    }
  }

  private void putBoot(Map<Signal, RawValue> whole) {
    if (wiring.lacks().contains(StandIn.BOOT_ID)) {
      whole.put(Signal.BOOT_ID, RawValue.of(mark + "." + connections));
    } else if (countsEdges) {
      marked(whole, Signal.BOOT_ID);
      marked(whole, Signal.LAST_CUT_BOOT);
    }
  }

  private void marked(Map<Signal, RawValue> whole, Signal signal) {
    RawValue raw = whole.get(signal);
    if (raw != null && raw.value() instanceof String boot && !boot.isBlank()) {
      whole.put(signal, RawValue.of(boot + "." + mark));
    }
  }

  private void putAssumed(Map<Signal, RawValue> whole) {
    for (StandIn standIn : wiring.lacks()) {
      switch (standIn) {
        case ACTIVE_SEQUENCE -> whole.put(Signal.ACTIVE_SEQUENCE, RawValue.of(heldSeq));
        case TARGET_REACHED -> whole.put(Signal.TARGET_REACHED, RawValue.of(false));
        case SAW_STATE -> whole.put(Signal.SAW_STATE, RawValue.of(SawState.IDLE.code()));
        case HOMING_ATTAINED -> whole.put(Signal.HOMING_ATTAINED, RawValue.of(true));
        case ENABLED -> whole.put(Signal.ENABLED, RawValue.of(true));
        case REMOTE_ALLOWED -> whole.put(Signal.REMOTE_ALLOWED, RawValue.of(true));
        case FAULT_CODE -> whole.put(Signal.FAULT_CODE, RawValue.of(0));
        case BOOT_ID, LAST_CUT, ONLINE -> {
          // Elsewhere.
        }
      }
    }
  }

  private boolean isAtTarget(DeviceSnapshot snapshot) {
    Length wanted = heldPosition;
    return wanted != null
        && snapshot.activeSequence() == heldSeq
        && !snapshot.position().minus(wanted).abs().isMoreThan(window);
  }

  private void watch(DeviceSnapshot now) {
    Seen before = seen;
    boolean sameBoot = before != null && before.boot().equals(now.boot());
    long made = sameBoot ? now.cutCount() - Objects.requireNonNull(before).count() : 0;
    if (made == 1) {
      lastCut = new LastCut(now.boot(), now.cutCount(), now.activeSequence(), now.position(), null);
    } else if (made != 0 || !sameBoot) {
      lastCut = null;
    }
    seen = new Seen(now.boot(), now.cutCount());
  }
}
