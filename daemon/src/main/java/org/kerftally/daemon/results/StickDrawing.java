package org.kerftally.daemon.results;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.PlannedSticks;

/**
 * Divides a planned stick into what is drawn of it, from its leading end on. The lengths of the
 * segments add up to the stick exactly.
 *
 * <p>Where the plan leaves a rest, the kerf follows from the plan itself, so that a drawing stays
 * true when the saw's blade is changed later. Only where a last piece ends flush, or by a sliver
 * cut, the kerf must be given.
 *
 * @param length the stick's length
 * @param segments its segments in order; none is empty
 */
record StickDrawing(Length length, List<Segment> segments) {

  /** Copies the list. */
  StickDrawing {
    segments = List.copyOf(segments);
  }

  /** Says what a segment is. */
  enum Kind {
    /** What the squaring cut takes. */
    TRIM,
    /** A part. */
    PART,
    /** What the blade takes. */
    KERF,
    /** A remainder worth keeping. */
    OFFCUT,
    /** A remainder that is not. */
    WASTE
  }

  /**
   * Describes one segment.
   *
   * @param kind what it is
   * @param from where it begins, from the stick's leading end
   * @param length how long it is, more than zero
   * @param cut the number of the part in the stick, from 1, or 0 for no part
   * @param part the part, or {@code null}
   */
  record Segment(Kind kind, Length from, Length length, int cut, @Nullable Cut part) {}

  /**
   * Draws a stick.
   *
   * @param kerf the saw's kerf, used where the plan does not tell it
   */
  static StickDrawing of(PlannedSticks sticks, Length kerf) {
    List<Segment> segments = new ArrayList<>();
    Length[] kerfs = kerfs(sticks, kerf);
    Length at = add(segments, Kind.TRIM, Length.ZERO, sticks.leadTrim(), 0, null);
    for (int i = 0; i < sticks.cuts().size(); i++) {
      Cut cut = sticks.cuts().get(i);
      at = add(segments, Kind.PART, at, cut.length(), i + 1, cut);
      at = add(segments, Kind.KERF, at, kerfs[i], 0, null);
    }
    Kind rest = sticks.offcut() == null ? Kind.WASTE : Kind.OFFCUT;
    add(segments, rest, at, sticks.rest(), 0, null);
    return new StickDrawing(sticks.length(), segments);
  }

  private static Length add(
      List<Segment> segments, Kind kind, Length at, Length length, int number, @Nullable Cut part) {
    if (length.isPositive()) {
      segments.add(new Segment(kind, at, length, number, part));
    }
    return at.plus(length);
  }

  /** Returns the kerf that a plan tells, or {@code null} where no rest is left to tell it. */
  static @Nullable Length kerfTold(PlannedSticks sticks) {
    int cuts = sticks.cuts().size();
    return sticks.rest().isPositive() ? Length.ofNm(allKerfsNm(sticks) / cuts) : null;
  }

  private static long allKerfsNm(PlannedSticks sticks) {
    long all = sticks.length().nm() - sticks.leadTrim().nm() - sticks.rest().nm();
    for (Cut cut : sticks.cuts()) {
      all -= cut.length().nm();
    }
    return all;
  }

  /** What each cut's blade takes: together all that is neither trim, part nor rest. */
  private static Length[] kerfs(PlannedSticks sticks, Length kerf) {
    int cuts = sticks.cuts().size();
    long all = allKerfsNm(sticks);
    long last = all - kerf.nm() * (cuts - 1);
    boolean asGiven = last >= 0 && last <= kerf.nm();
    long each = asGiven ? kerf.nm() : all / cuts;
    Length[] result = new Length[cuts];
    for (int i = 0; i < cuts; i++) {
      result[i] = Length.ofNm(i < cuts - 1 ? each : all - each * (cuts - 1));
    }
    return result;
  }

  /**
   * Describes cuts of the same part one after another.
   *
   * @param first the number of the first of them in the stick, from 1
   * @param last the number of the last of them
   * @param part the part
   * @param from where the first begins
   * @param to where the last ends
   */
  record Run(int first, int last, Cut part, Length from, Length to) {

    /** Returns how many they are. */
    int count() {
      return last - first + 1;
    }

    /** Returns their numbers for people: {@code 1–6}, or {@code 1}. */
    String numbers() {
      return first == last ? String.valueOf(first) : first + "–" + last;
    }
  }

  /** Returns the parts in order, equal ones that follow each other taken together. */
  List<Run> runs() {
    List<Run> runs = new ArrayList<>();
    for (Segment s : segments) {
      Cut part = s.part();
      if (part == null) {
        continue;
      }
      Length to = s.from().plus(s.length());
      Run before = runs.isEmpty() ? null : runs.get(runs.size() - 1);
      if (before != null && before.part().equals(part)) {
        runs.set(runs.size() - 1, new Run(before.first(), s.cut(), part, before.from(), to));
      } else {
        runs.add(new Run(s.cut(), s.cut(), part, s.from(), to));
      }
    }
    return runs;
  }
}
