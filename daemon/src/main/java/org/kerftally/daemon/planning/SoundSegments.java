package org.kerftally.daemon.planning;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/**
 * Divides a stick with bad zones into its sound segments, each of which is planned as a stick of
 * its own with the number 1.
 *
 * <p>Every segment but one that starts at an end squared already is squared like any other stick: a
 * racked segment by its own lead trim; of a stick in the saw, which has none, the lead trim is
 * taken off the segment's length instead. What of a segment cannot hold even the trims is left out.
 * A stated cost is shared out by length over the sound segments, rounded up to six decimals:
 * together they cost no less than the stick.
 */
public final class SoundSegments {

  /** Knots and shakes marked on one stick; more of them is firewood. */
  public static final int MOST_ZONES = 1_000;

  /**
   * Names a bad zone of a stick, measured from its leading end.
   *
   * @param from where it begins
   * @param to where it ends, beyond {@code from}
   */
  public record Zone(Length from, Length to) {}

  private SoundSegments() {}

  /**
   * Returns the sound segments from the leading end on; the stick itself where no zone touches it.
   *
   * @param stick one stick, whatever quantity it states
   * @param bad its bad zones in any order; they may touch, overlap, or reach beyond the stick
   * @param rules the saw's rules for its material
   * @throws IllegalArgumentException when a zone ends before it begins, or there are more than
   *     {@link #MOST_ZONES}
   */
  public static List<StockItem> of(StockItem stick, List<Zone> bad, CutRules rules) {
    if (bad.size() > MOST_ZONES) {
      throw new IllegalArgumentException(bad.size() + " bad zones, at most " + MOST_ZONES);
    }
    List<Zone> sound = sound(stick.length(), bad);
    Length total = Length.ZERO;
    for (Zone zone : sound) {
      total = total.plus(zone.to().minus(zone.from()));
    }
    List<StockItem> segments = new ArrayList<>();
    for (int i = 0; i < sound.size(); i++) {
      Zone zone = sound.get(i);
      boolean squared = zone.from().nm() == 0;
      boolean inSaw = stick.kind() == StickKind.IN_SAW;
      Length lost = inSaw && !squared ? rules.leadTrim() : Length.ZERO;
      Length length = zone.to().minus(zone.from());
      Length needed = inSaw ? lost.plus(rules.tail()) : rules.leadTrim().plus(rules.tail());
      if (length.isMoreThan(needed)) {
        boolean whole = length.equals(stick.length());
        segments.add(
            new StockItem(
                stick.material(),
                length.minus(lost),
                1,
                share(stick.cost(), length, total),
                stick.kind(),
                whole ? stick.label() : label(stick.label(), i + 1)));
      }
    }
    return segments;
  }

  private static List<Zone> sound(Length stick, List<Zone> bad) {
    List<Zone> sorted = new ArrayList<>(bad);
    sorted.sort(Comparator.comparing(Zone::from));
    List<Zone> sound = new ArrayList<>();
    Length at = Length.ZERO;
    for (Zone zone : sorted) {
      if (!zone.to().isMoreThan(zone.from())) {
        throw new IllegalArgumentException("a bad zone must end beyond its begin: " + zone);
      }
      Length end = zone.from().min(stick);
      if (end.isMoreThan(at)) {
        sound.add(new Zone(at, end));
      }
      at = at.max(zone.to());
    }
    if (stick.isMoreThan(at)) {
      sound.add(new Zone(at, stick));
    }
    return sound;
  }

  private static @Nullable BigDecimal share(
      @Nullable BigDecimal cost, Length length, Length total) {
    return cost == null
        ? null
        : cost.multiply(length.toMm())
            .divide(total.toMm(), StickCosts.MOST_DECIMALS, RoundingMode.UP)
            .stripTrailingZeros();
  }

  private static String label(@Nullable String label, int number) {
    return (label == null ? "segment " : label + " segment ") + number;
  }
}
