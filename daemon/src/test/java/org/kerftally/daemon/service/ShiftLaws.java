package org.kerftally.daemon.service;

import static org.kerftally.daemon.service.ShiftSaw.Cycle;

import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.station.StationFold;
import org.kerftally.daemon.station.StationState;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent;
import org.kerftally.shared.event.StationEvent.Acknowledged;
import org.kerftally.shared.event.StationEvent.BootSeen;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.DefectFound;
import org.kerftally.shared.event.StationEvent.DriveBegun;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.LinkDown;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.StickDone;
import org.kerftally.shared.event.StationEvent.StickLoaded;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.event.StationEvent.TargetVoided;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Shortage;

/**
 * Holds what must be true at one station after every event and every step, whatever fails. It reads
 * what is on disk and what really happened at the saw, and shares no code with what it judges but
 * the fold, which must give the live state.
 */
final class ShiftLaws {

  private final ShiftSaw saw;
  private final CutRules rules;
  private final Length window;
  private final Map<String, Cycle> truth = new HashMap<>();
  private final Map<Long, Cycle> truthByCount = new HashMap<>();
  private int cyclesRead;
  private final Set<String> booked = new HashSet<>();
  private final Set<Long> bookedCounts = new HashSet<>();
  private final Map<Long, TargetSet> targets = new HashMap<>();
  private final Map<Long, MoveSet> moves = new HashMap<>();
  private final Set<Long> voided = new HashSet<>();
  private final Set<Long> cut = new HashSet<>();
  private final Set<Long> sent = new HashSet<>();
  private final Map<String, Map<String, Integer>> good = new HashMap<>();
  private final Map<String, List<Part>> wanted = new HashMap<>();
  private final Set<String> ended = new HashSet<>();
  private StationState state = StationState.EMPTY;
  private @Nullable Length left;
  private @Nullable String load;
  private @Nullable String boot;
  private long firstCount = -1;
  private boolean armed;
  private long linkReadAt = Long.MIN_VALUE;
  private long seq;

  ShiftLaws(ShiftSaw saw, CutRules rules, Length window) {
    this.saw = saw;
    this.rules = rules;
    this.window = window;
  }

  /** Returns the fold of what is on disk. */
  StationState state() {
    return state;
  }

  /** The link was made anew; whatever was pressed before must not set anything in motion. */
  void linkRead(long at) {
    linkReadAt = at;
  }

  private static AssertionError broken(String law, Object... what) {
    return new AssertionError(law + ": " + List.of(what));
  }

  private static void hold(boolean holds, String law, Object... what) {
    if (!holds) {
      throw broken(law, what);
    }
  }

  /** Judges one event that is on disk now. */
  void see(StationEvent event) {
    readTruth();
    StationState before = state;
    state = StationFold.apply(state, event);
    if (event instanceof DriveBegun || event instanceof LinkUp || event instanceof LinkDown) {
      armed = false;
    } else if (event instanceof FaultRaised) {
      armed = false;
    } else if (event instanceof BootSeen e) {
      armed = false;
      boot = e.boot();
      load = saw.memory ? load : null;
      firstCount = firstCount < 0 ? e.count() : firstCount;
      forgottenUpTo.put(e.boot(), e.count());
    } else if (event instanceof Acknowledged e) {
      acknowledged(e);
    } else if (event instanceof JobQueued e) {
      wanted.put(e.order().id(), e.order().parts());
    } else if (event instanceof TargetSet e) {
      set(e, before);
    } else if (event instanceof MoveSet e) {
      move(e, before);
    } else if (event instanceof TargetVoided e) {
      voided.add(e.seq());
    } else if (event instanceof CutBooked e) {
      booked(e);
    } else if (event instanceof PieceRemained e) {
      hold(Objects.equals(left, e.length()), "what remains flush is the piece", e, "left", left);
      left = Length.ZERO;
      made(e.job(), e.part(), 1);
    } else if (event instanceof PieceRejected e) {
      made(e.job(), e.part(), -1);
    } else if (event instanceof StickLoaded e) {
      left = e.length();
      String press = boot + "#" + e.presses();
      long counted = state.counted() == null ? 0 : state.counted().count();
      boolean asWritten = new ShiftSaw.Load(e.length(), counted).equals(saw.loads.get(press));
      load = asWritten ? press : null;
    } else if (event instanceof DefectFound e) {
      left = left == null ? null : left.min(e.sound());
    } else if (event instanceof StickDone e) {
      hold(Objects.equals(left, e.rest()), "a stick is used up to the nanometre", e, "left", left);
      left = null;
    } else if (event instanceof JobEnded e) {
      ended(e);
    }
  }

  private void readTruth() {
    for (; cyclesRead < saw.truth.size(); cyclesRead++) {
      Cycle cycle = saw.truth.get(cyclesRead);
      truth.put(cycle.boot() + "#" + cycle.count(), cycle);
      truthByCount.put(cycle.count(), cycle);
    }
  }

  private void acknowledged(Acknowledged e) {
    armed = true;
    boolean pressed =
        e.presses() >= 1
            && Objects.equals(boot, saw.boot())
            && e.presses() <= saw.acknowledgedAt.size();
    if (Objects.equals(boot, saw.boot())) {
      hold(pressed, "an acknowledge was pressed", e, saw.acknowledgedAt);
      long at = saw.acknowledgedAt.get((int) e.presses() - 1);
      hold(at >= linkReadAt, "an acknowledge counts only after the link is back", e, at);
    }
  }

  private void set(TargetSet e, StationState before) {
    hold(armed, "no target without an acknowledge since the last interruption", e);
    hold(e.seq() > seq, "sequence numbers grow", e, seq);
    hold(before.target() == null && before.moving() == null, "one target at a time", e);
    seq = e.seq();
    targets.put(e.seq(), e);
  }

  private void move(MoveSet e, StationState before) {
    hold(armed, "no move without an acknowledge since the last interruption", e);
    hold(e.seq() > seq, "sequence numbers grow", e, seq);
    hold(before.target() == null && before.moving() == null, "one target at a time", e);
    boolean hasWork = before.run() != null || !before.queue().isEmpty();
    hold(e.move() != StopMove.PARK || !hasWork, "the stop parks only while there is no work", e);
    seq = e.seq();
    moves.put(e.seq(), e);
  }

  /** Judges a target at the moment it is handed to the link. */
  void send(Target target, @Nullable DeviceSnapshot known) {
    boolean onDisk = targets.containsKey(target.seq()) || moves.containsKey(target.seq());
    hold(onDisk, "a target is on disk before it is sent", target);
    hold(sent.add(target.seq()), "a target is sent once", target);
    hold(!voided.contains(target.seq()), "no void target is sent", target);
    hold(
        known != null && known.permitsMove(),
        "a target is sent only while the machine permits it, as far as is known",
        target,
        String.valueOf(known));
  }

  private void booked(CutBooked e) {
    String key = e.boot() + "#" + e.count();
    hold(booked.add(key), "a cycle is booked once", e);
    hold(!saw.memory || bookedCounts.add(e.count()), "a count is booked once", e);
    Cycle cycle = truth.get(key);
    boolean byEye = e.kind() == CutKind.SUSPECT && e.part() == null;
    if (e.left() == null || byEye) {
      load = null;
    }
    if (e.kind() == CutKind.UNATTRIBUTED) {
      boolean happened = saw.memory ? truthByCount.containsKey(e.count()) : cycle != null;
      hold(happened, "what is booked has happened", e);
      return;
    }
    hold(cycle != null, "what is booked has happened", e);
    Cycle real = Objects.requireNonNull(cycle);
    hold(real.seq() == e.seq(), "a cycle belongs to the target that was active", e, real);
    hold(real.position().equals(e.position()), "the position is the saw's", e, real);
    hold(
        !moves.containsKey(e.seq()) || e.kind() == CutKind.SUSPECT,
        "nothing is made where the stop stood for no cut",
        e);
    if (e.left() != null) {
      leaves(e, real);
    }
    if (e.kind() == CutKind.PART || e.kind() == CutKind.TRIM) {
      TargetSet set = targets.get(e.seq());
      hold(set != null, "a part has a target", e);
      hold(!voided.contains(e.seq()), "no part of a void target", e);
      hold(cut.add(e.seq()), "a target makes one piece", e);
      Length off = real.position().minus(Objects.requireNonNull(set).position()).abs();
      hold(!off.isMoreThan(window), "a part was cut in position", e, real);
      hold(Objects.equals(set.part(), e.part()), "a part is what was set", e, set);
    }
    if (e.kind() == CutKind.PART) {
      made(Objects.requireNonNull(e.job()), Objects.requireNonNull(e.part()), 1);
    }
  }

  private void leaves(CutBooked e, Cycle real) {
    Length after = Objects.requireNonNull(e.left());
    Length was = Objects.requireNonNull(left, "a cut from no stick");
    Length taken = was.minus(after);
    if (e.kind() == CutKind.PART) {
      Length whole = Objects.requireNonNull(e.wanted()).plus(rules.kerf());
      hold(
          taken.equals(whole) || (after.nm() == 0 && !taken.isMoreThan(whole)),
          "a part takes its length and a kerf",
          e,
          taken);
    } else if (e.kind() == CutKind.TRIM) {
      hold(taken.equals(rules.leadTrim()), "a squaring cut takes the trim", e, taken);
    }
    left = after;
    if (real.left() != null && real.load().equals(load)) {
      hold(real.left().equals(after), "what is left is what lies in the saw", e, real);
    }
  }

  private void made(String job, String part, int change) {
    int now = good.computeIfAbsent(job, j -> new HashMap<>()).merge(part, change, Integer::sum);
    hold(now >= 0, "no fewer than none are made", job, part);
  }

  private void ended(JobEnded e) {
    ended.add(e.job());
    for (Part part : wanted.getOrDefault(e.job(), List.of())) {
      int have = good.getOrDefault(e.job(), Map.of()).getOrDefault(part.name(), 0);
      int missing =
          e.shortages().stream()
              .filter(s -> s.part().equals(part.name()))
              .mapToInt(Shortage::missing)
              .sum();
      hold(have + missing == part.quantity(), "made and missing are what was wanted", e, have);
    }
  }

  /** Judges a moment between two steps of a living service. */
  void settled(StationState live) {
    hold(live.equals(state), "the live state is the fold of the log", live, state);
  }

  /** Judges the end of a shift: everybody is back, nothing fails any more, all work is done. */
  void end(Set<String> jobs) {
    readTruth();
    hold(ended.containsAll(jobs), "every job comes to its end", jobs, ended);
    for (Cycle cycle : saw.truth) {
      boolean known =
          saw.memory
              ? cycle.count() <= firstCount || bookedCounts.contains(cycle.count())
              : !cycle.boot().equals(saw.boot()) || bookedOrBefore(cycle);
      hold(known, "every cycle is booked", cycle);
    }
  }

  private boolean bookedOrBefore(Cycle cycle) {
    return booked.contains(cycle.boot() + "#" + cycle.count())
        || cycle.count() <= forgottenUpTo.getOrDefault(cycle.boot(), 0L);
  }

  private final Map<String, Long> forgottenUpTo = new HashMap<>();

  /** Tells whether a job came to its end. */
  boolean hasEnded(String job) {
    return ended.contains(job);
  }
}
