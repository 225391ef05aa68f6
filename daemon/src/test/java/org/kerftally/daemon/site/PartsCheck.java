package org.kerftally.daemon.site;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.kerftally.daemon.site.DeviceTruth.Doing;
import org.kerftally.daemon.site.DeviceTruth.TrueCut;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.CutBooked;
import org.kerftally.shared.event.StationEvent.JobQueued;
import org.kerftally.shared.event.StationEvent.PieceRejected;
import org.kerftally.shared.event.StationEvent.PieceRemained;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.length.Length;

/**
 * Holds each part's count against what the device cut for its targets and how often somebody
 * pressed "rejected": as many are made as were wanted, and each of them was cut.
 */
final class PartsCheck {

  private static final Length WINDOW = Length.ofNm(100_000);

  private record Key(String job, String part) implements Comparable<Key> {
    @Override
    public int compareTo(Key other) {
      int byJob = job.compareTo(other.job);
      return byJob != 0 ? byJob : part.compareTo(other.part);
    }
  }

  private static final class Tally {
    int wanted;
    int booked;
    int remained;
    int rejected;
    int cut;
  }

  private PartsCheck() {}

  /** Returns every part whose counts disagree, in words; every job has to have ended. */
  static List<String> differences(DeviceTruth truth, List<Recorded> events) {
    Map<Key, Tally> tallies = new TreeMap<>();
    Map<Long, TargetSet> targets = new HashMap<>();
    long rejections = 0;
    for (Recorded recorded : events) {
      if (recorded.event() instanceof JobQueued queued) {
        queued
            .order()
            .parts()
            .forEach(p -> of(tallies, queued.order().id(), p.name()).wanted += p.quantity());
      } else if (recorded.event() instanceof CutBooked cut
          && cut.kind() == CutKind.PART
          && cut.job() != null
          && cut.part() != null) {
        of(tallies, cut.job(), cut.part()).booked++;
      } else if (recorded.event() instanceof PieceRemained piece) {
        of(tallies, piece.job(), piece.part()).remained++;
      } else if (recorded.event() instanceof PieceRejected rejected) {
        of(tallies, rejected.job(), rejected.part()).rejected++;
        rejections++;
      } else if (recorded.event() instanceof TargetSet set) {
        targets.put(set.seq(), set);
      }
    }
    for (TrueCut cut : truth.cuts()) {
      TargetSet set = targets.get(cut.seq());
      if (set != null
          && set.part() != null
          && !cut.position().minus(set.wanted()).abs().isMoreThan(WINDOW)) {
        of(tallies, set.job(), set.part()).cut++;
      }
    }
    List<String> differences = new ArrayList<>();
    tallies.forEach(
        (key, t) -> {
          int made = t.booked + t.remained - t.rejected;
          if (made != t.wanted || t.booked > t.cut) {
            differences.add(
                key
                    + ": wanted "
                    + t.wanted
                    + ", made "
                    + made
                    + " of "
                    + t.booked
                    + " booked and "
                    + t.remained
                    + " left over, "
                    + t.rejected
                    + " rejected; truly cut "
                    + t.cut);
          }
        });
    long pressed = truth.doings().stream().filter(d -> d.is(Doing.REJECTED)).count();
    if (rejections > pressed) {
      differences.add(rejections + " rejections are booked, and " + pressed + " were pressed");
    }
    return differences;
  }

  private static Tally of(Map<Key, Tally> tallies, String job, String part) {
    return tallies.computeIfAbsent(new Key(job, part), k -> new Tally());
  }
}
