package org.kerftally.daemon.service;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;

/**
 * Gives the stations of a simulated shop: both layouts, with and without a button for sticks, and
 * stops that retract and park.
 */
final class ShiftSetups {

  private static final List<StationSetup> FIRST = kinds("saw1");
  private static final List<StationSetup> SECOND = kinds("saw2");

  private ShiftSetups() {}

  private static List<StationSetup> kinds(String name) {
    String pressed = "    operator: { stick-loaded: signal }";
    String assumed = "    operator: { stick-loaded: assumed }";
    return List.of(
        Samples.station(name, "outfeed-stop", pressed, "    lead-trim: 10 mm"),
        Samples.station(name, "outfeed-stop", assumed),
        Samples.station(name, "outfeed-stop", pressed, "    sliver-cuts: false"),
        Samples.station(
            name,
            "outfeed-stop",
            pressed,
            "    lead-trim: 10 mm",
            "    retract: { by: 5 mm, hold: 800 ms }",
            "    park: { at: 1200 mm, after: 2 s }"),
        Samples.station(name, "outfeed-stop", assumed, "    retract: { by: 40 mm, hold: 0 s }"),
        Samples.station(
            name,
            "infeed-pusher",
            pressed,
            "    tail: 60 mm",
            "    park: { at: 3000 mm, after: 1 s }"),
        Samples.station(name, "infeed-pusher", pressed, "    lead-trim: 10 mm", "    tail: 60 mm"));
  }

  static List<StationSetup> some(SplittableRandom random) {
    List<StationSetup> some = new ArrayList<>();
    some.add(FIRST.get(random.nextInt(FIRST.size())));
    if (random.nextInt(4) == 0) {
      some.add(SECOND.get(random.nextInt(SECOND.size())));
    }
    return some;
  }
}
