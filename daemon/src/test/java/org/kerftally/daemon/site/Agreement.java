package org.kerftally.daemon.site;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.site.DeviceTruth.TrueCut;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.TargetRefused;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.event.StationEvent.TargetVoided;
import org.kerftally.shared.length.Length;

/**
 * Holds how a station's log and its device's own record compare, cut by cut.
 *
 * @param cycles the saw cycles there really were
 * @param kinds how the log booked them
 * @param differences every one that does not agree, in words
 * @param sideBySide all cycles of both, in order, a line each
 */
record Agreement(
    int cycles, Map<CutKind, Integer> kinds, List<String> differences, List<String> sideBySide) {

  /** Positions pass through a double on the way: a micrometre is far below any saw. */
  private static final Length SAME = Length.ofNm(1_000);

  /** How far the stop may stand off for a cut to be its target's: the configuration's default. */
  private static final Length WINDOW = Length.ofNm(100_000);

  /** Compares one station's events, in their order, with what its device wrote down. */
  static Agreement of(DeviceTruth truth, List<Recorded> events) {
    return new Comparison(events).with(truth.cuts());
  }

  private static final class Comparison {
    private final Map<String, CutBooked> booked = new LinkedHashMap<>();
    private final Map<Long, TargetSet> targets = new HashMap<>();
    private final Set<Long> gone = new HashSet<>();
    private final Map<CutKind, Integer> kinds = new EnumMap<>(CutKind.class);
    private final List<String> differences = new ArrayList<>();

    Comparison(List<Recorded> events) {
      for (Recorded recorded : events) {
        if (recorded.event() instanceof CutBooked cut) {
          kinds.merge(cut.kind(), 1, Integer::sum);
          if (booked.put(key(cut), cut) != null) {
            differences.add(key(cut) + " is booked twice");
          }
        } else if (recorded.event() instanceof TargetSet set) {
          targets.put(set.seq(), set);
        } else if (recorded.event() instanceof TargetVoided voided) {
          gone.add(voided.seq());
        } else if (recorded.event() instanceof TargetRefused refused) {
          gone.add(refused.seq());
        }
      }
    }

    private static String key(CutBooked cut) {
      return cut.boot() + " #" + cut.count();
    }

    Agreement with(List<TrueCut> cuts) {
      Map<String, TrueCut> real = new LinkedHashMap<>();
      for (TrueCut cut : cuts) {
        if (real.put(cut.key(), cut) != null) {
          differences.add(cut.key() + " stands twice in the truth: the device itself miscounts");
        }
        compare(cut, booked.get(cut.key()));
      }
      booked.keySet().stream()
          .filter(key -> !real.containsKey(key))
          .forEach(key -> differences.add(key + " is in the log and was never cut"));
      return new Agreement(cuts.size(), kinds, List.copyOf(differences), sideBySide(real));
    }

    private void compare(TrueCut cut, @Nullable CutBooked log) {
      if (log == null) {
        differences.add(cut.key() + " was cut and is not in the log");
        return;
      }
      TargetSet target = targets.get(cut.seq());
      boolean counted = log.kind() == CutKind.PART || log.kind() == CutKind.TRIM;
      boolean rightful =
          target != null && !gone.contains(cut.seq()) && isNear(cut, target.position(), WINDOW);
      if (counted != rightful) {
        differences.add(
            cut.key()
                + (counted ? " is counted, and was not cut for its target" : " was cut rightly")
                + ": "
                + log.kind()
                + ", "
                + log.remark());
      } else if (counted && !isSame(cut, log, target)) {
        differences.add(cut.key() + " was cut as " + cut + ", the log says " + log);
      }
    }

    private static boolean isSame(TrueCut cut, CutBooked log, @Nullable TargetSet target) {
      Length position = log.position();
      return target != null
          && position != null
          && log.seq() == cut.seq()
          && isNear(cut, position, SAME)
          && cut.at().equals(log.cutAt())
          && target.job().equals(log.job())
          && java.util.Objects.equals(target.part(), log.part());
    }

    private static boolean isNear(TrueCut cut, Length position, Length allowed) {
      return !cut.position().minus(position).abs().isMoreThan(allowed);
    }

    private List<String> sideBySide(Map<String, TrueCut> real) {
      Set<String> keys = new LinkedHashSet<>(real.keySet());
      keys.addAll(booked.keySet());
      List<String> lines = new ArrayList<>();
      for (String key : keys) {
        TrueCut cut = real.get(key);
        CutBooked log = booked.get(key);
        String left = cut == null ? "-" : "target " + cut.seq() + " at " + cut.position();
        String right =
            log == null
                ? "-"
                : log.kind() + " " + log.seq() + " at " + log.position() + " " + log.part();
        lines.add(String.format("%-24s %-32s | %s", key, left, right));
      }
      return lines;
    }
  }
}
