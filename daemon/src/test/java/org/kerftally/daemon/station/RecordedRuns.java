package org.kerftally.daemon.station;

import java.util.function.Function;
import org.kerftally.daemon.service.DecisionWitness;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.length.Length;

/** Runs a station under the eyes of a witness, for tests of what is recorded. */
public final class RecordedRuns {

  private RecordedRuns() {}

  /** Runs one job under the faults of a seed, with restarts among them. */
  public static void chaos(long seed, Function<StationRules, DecisionWitness> witness) {
    StationRig unused = StationChaosTest.run(seed, witness);
  }

  /** Cuts five parts, the third one a millimetre beside its target. */
  public static void oneCutBeside(Function<StationRules, DecisionWitness> witness) {
    StationRig rig = new StationRig(Layout.OUTFEED_STOP, true, 1);
    rig.witness = witness.apply(rig.rules);
    rig.start();
    rig.offer(StationRig.order("hive", 150, 5));
    rig.acknowledge();
    for (int i = 0; i < 12; i++) {
      if (rig.saw.truth.size() == 3) {
        rig.saw.stroke(rig.saw.position.plus(Length.ofMm(1)));
        rig.tell();
      } else {
        rig.operatorActs();
      }
      rig.tick(100);
    }
  }
}
