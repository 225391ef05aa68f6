package org.kerftally.daemon.station;

import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Cut;

/**
 * Works out where the stop or pusher stands for a cut, as a length at the blade.
 *
 * <p>Datum is the blade face on the stop side. Outfeed stop: a part's own length; for the squaring
 * cut what protrudes past the blade, t − k, or the nearest the stop can come, where the operator
 * squares by eye short of it. Infeed pusher: what must remain on the infeed side of the blade after
 * the cut, L − t − Σ(p + k).
 */
final class StopGeometry {

  private StopGeometry() {}

  static Length stand(StationRules station, StickInSaw stick, @Nullable Cut cut) {
    CutRules rules = station.rulesFor(stick.planned().material());
    if (station.layout() == Layout.INFEED_PUSHER) {
      return cut == null
          ? stick.left().minus(stick.planned().leadTrim())
          : stick.left().minus(cut.length()).minus(rules.kerf());
    }
    if (cut != null) {
      return cut.length();
    }
    Length protruding = stick.planned().leadTrim().minus(rules.kerf());
    return protruding.max(station.travel().min()).min(station.travel().max());
  }
}
