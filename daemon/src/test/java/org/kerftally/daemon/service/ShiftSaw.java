package org.kerftally.daemon.service;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.length.Length;

/**
 * Is a positioner and its saw, with all that really happened: the device contract kept to the
 * letter, a stop that takes its time, a stroke with a guard that closes and a blade that comes out,
 * and a stick of which every stroke takes what the stop's place says. It outlives the service.
 */
final class ShiftSaw {

  /**
   * Is one saw cycle.
   *
   * @param boot the power-up
   * @param count what the counter stood at then
   * @param seq the target that was active
   * @param position where the stop stood
   * @param left what remained of the stick, or {@code null} when nobody can know
   * @param load which press of "stick loaded" the stick came with
   */
  record Cycle(
      String boot, long count, long seq, Length position, @Nullable Length left, String load) {}

  /** How fast the stop moves. */
  private static final long NANOS_PER_MM = 400_000;

  /** What the device resolves. */
  private static final long STEP_NM = 1_000;

  private static final long GUARD_NANOS = 150_000_000;
  private static final long STROKE_NANOS = 450_000_000;

  private final SplittableRandom random;
  private final Layout layout;
  private final Length kerf;
  private final Length trim;
  private final boolean hasClock;
  private final boolean looksAtBoot;

  /** Whether count and last cut outlive a power-up. */
  final boolean memory;

  final List<Cycle> truth = new ArrayList<>();

  /** When each acknowledge of the present power-up was pressed; the first is at index 0. */
  final List<Long> acknowledgedAt = new ArrayList<>();

  /** Is what the operator put in the saw, and the cut count at that moment. */
  record Load(Length length, long count) {}

  /** What each press of "stick loaded" came with. */
  final Map<String, Load> loads = new HashMap<>();

  boolean powered = true;
  private int boots = 1;
  private long count;
  private @Nullable LastCut last;
  private @Nullable Target active;
  private long highestSeq;
  private Length position = Length.ofMm(100);
  private Length from = Length.ofMm(100);
  private long arrivesAt;
  private boolean displaced;
  boolean homed = true;
  boolean enabled = true;
  boolean remote = true;
  int fault;
  private SawState saw = SawState.IDLE;
  private long strokeBegan;
  private long stickLoaded;
  private @Nullable Length stickLength;
  private long rejected;
  private long defects;
  private @Nullable Length defectAt;
  boolean paused;
  private @Nullable Length stick;
  private String load = "";
  private long cutSeq;

  ShiftSaw(SplittableRandom random, Layout layout, CutRules rules) {
    this.random = random;
    this.layout = layout;
    this.kerf = rules.kerf();
    this.trim = rules.leadTrim();
    this.memory = random.nextInt(4) != 0;
    this.hasClock = random.nextBoolean();
    this.looksAtBoot = random.nextBoolean();
  }

  String boot() {
    return "b" + boots;
  }

  long activeSeq() {
    return active == null ? 0 : active.seq();
  }

  boolean isReached(long now) {
    return active != null && !displaced && now >= arrivesAt;
  }

  /** Tells whether a piece was cut at the present target. */
  boolean isCut() {
    return cutSeq != 0 && cutSeq == activeSeq();
  }

  boolean isIdle() {
    return saw == SawState.IDLE;
  }

  boolean permitsMove() {
    return powered && homed && enabled && remote && saw == SawState.IDLE && fault == 0;
  }

  DeviceSnapshot snapshot(long now) {
    return new DeviceSnapshot(
        boot(),
        count,
        last,
        activeSeq(),
        stands(now),
        isReached(now),
        homed,
        enabled,
        remote,
        saw,
        fault,
        "",
        new OperatorPanel(
            stickLoaded, stickLength, rejected, defects, defectAt, acknowledgedAt.size(), paused));
  }

  private Length stands(long now) {
    if (now >= arrivesAt) {
      return position;
    }
    long whole = Math.max(1, position.minus(from).abs().nm() / 1_000_000 * NANOS_PER_MM);
    double way = 1 - (arrivesAt - now) / (double) whole;
    long nm = from.nm() + (long) ((position.nm() - from.nm()) * Math.max(0, way));
    return Length.ofNm(nm / STEP_NM * STEP_NM);
  }

  /** Takes a target or refuses it, as the contract says. */
  LinkEvent.Replied take(Target target, long now) {
    if (!permitsMove()) {
      return new LinkEvent.Replied(target.seq(), false, "not permitted now");
    }
    if (looksAtBoot && target.boot() != null && !target.boot().equals(boot())) {
      return new LinkEvent.Replied(target.seq(), false, "meant for another power-up");
    }
    if (target.seq() <= highestSeq) {
      return new LinkEvent.Replied(target.seq(), false, "old number");
    }
    highestSeq = target.seq();
    from = stands(now);
    active = target;
    position = target.position();
    displaced = false;
    arrivesAt = now + position.minus(from).abs().nm() / 1_000_000 * NANOS_PER_MM;
    return new LinkEvent.Replied(target.seq(), true, null);
  }

  /** Somebody leans on the stop. */
  void displace(long now) {
    from = stands(now);
    arrivesAt = 0;
    position = from.plus(Length.ofMm(1 + random.nextInt(5)));
    displaced = true;
  }

  /** The operator starts a stroke, whatever stands where. */
  void stroke(long now) {
    if (powered && saw == SawState.IDLE) {
      saw = SawState.GUARD_DOWN;
      strokeBegan = now;
    }
  }

  /** Lets the time pass. */
  void tick(long now) {
    if (saw == SawState.GUARD_DOWN && now - strokeBegan >= GUARD_NANOS) {
      saw = SawState.BLADE_OUT;
    }
    if (saw == SawState.BLADE_OUT && now - strokeBegan >= STROKE_NANOS) {
      count(now);
      saw = SawState.IDLE;
    }
  }

  private void count(long now) {
    Length at = stands(now);
    take(at);
    count++;
    truth.add(new Cycle(boot(), count, activeSeq(), at, stick, load));
    last =
        new LastCut(
            boot(), count, activeSeq(), at, hasClock ? Instant.ofEpochSecond(0, now) : null);
  }

  /**
   * Takes off the stick what the blade cuts off it. A stroke without a target, a second one on the
   * same, one where the stop had only retracted or parked, and a squaring cut by eye with the stop
   * out of place take nobody knows what.
   */
  private void take(Length at) {
    Length whole = stick;
    Target held = active;
    boolean again = isCut();
    cutSeq = activeSeq();
    stick = null;
    boolean astray = held != null && held.move() != null && layout == Layout.OUTFEED_STOP;
    if (whole == null || held == null || again || astray) {
      return;
    }
    if (layout == Layout.INFEED_PUSHER) {
      stick = at.min(whole);
    } else if (held.part() != null) {
      stick = whole.minus(at).minus(kerf).max(Length.ZERO);
    } else if (!displaced) {
      stick = whole.minus(trim);
    }
  }

  /** The machine stops in the middle of whatever it does; a running stroke may count or not. */
  void stop(int code, long now) {
    if (saw != SawState.IDLE) {
      if (saw == SawState.BLADE_OUT && random.nextBoolean()) {
        count(now);
      }
      saw = SawState.IDLE;
    }
    if (code == 3) {
      homed = false;
    }
    fault = code;
    if (now < arrivesAt) {
      position = stands(now);
      arrivesAt = 0;
      displaced = true;
    }
  }

  void powerDown(long now) {
    stop(0, now);
    powered = false;
  }

  void powerUp() {
    powered = true;
    boots++;
    active = null;
    homed = random.nextBoolean();
    stickLoaded = 0;
    stickLength = null;
    rejected = 0;
    defects = 0;
    defectAt = null;
    acknowledgedAt.clear();
    if (!memory) {
      count = 0;
      last = null;
      highestSeq = 0;
    }
  }

  /**
   * The operator puts a stick in.
   *
   * @param length its length
   * @param measured whether the device measures it
   * @param asTold whether it is the length that was asked for
   */
  void load(Length length, boolean measured, boolean asTold) {
    stickLoaded++;
    stickLength = measured ? length : null;
    stick = isIdle() && (measured || asTold) ? length : null;
    load = boot() + "#" + stickLoaded;
    loads.put(load, new Load(length, count));
  }

  void acknowledge(long now) {
    acknowledgedAt.add(now);
  }

  void reject() {
    rejected++;
  }

  void defect(@Nullable Length sound) {
    defects++;
    defectAt = sound;
    stick = null;
  }
}
