package org.kerftally.daemon.station;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.length.Length;

/** Makes stations whose stop retracts or parks, and takes them through their first steps. */
final class MovingStops {

  static final Length BY = Length.ofMm(5);
  static final long HOLD_MILLIS = 1_000;
  static final Length PARK = Length.ofMm(1_200);
  static final long PARK_MILLIS = 60_000;

  /** What stops the work until somebody has acknowledged. */
  static final List<Consumer<StationRig>> INTERRUPTIONS =
      List.of(
          StationRig::restart,
          rig -> {
            rig.disconnect();
            rig.connect();
          },
          rig -> {
            rig.disconnect();
            rig.saw.powerCycle();
            rig.connect();
          },
          rig -> {
            rig.saw.fault = 2;
            rig.tell();
            rig.saw.fault = 0;
            rig.tell();
          });

  static StationRig rig(Length retractBy, @Nullable Length parkAt) {
    return new StationRig(
        Layout.OUTFEED_STOP,
        true,
        1,
        new StopMoves(
            retractBy, Duration.ofMillis(HOLD_MILLIS), parkAt, Duration.ofMillis(PARK_MILLIS)));
  }

  static StationRig retracting() {
    return rig(BY, null);
  }

  static StationRig parking() {
    return rig(Length.ZERO, PARK);
  }

  /** Starts, takes a job, acknowledges, squares the end: the first part's target stands. */
  static void begin(StationRig rig, int... lengthsAndQuantities) {
    rig.start();
    rig.offer(StationRig.order("hive", lengthsAndQuantities));
    rig.acknowledge();
    rig.cut();
    assertThat(rig.senses.prompt().kind()).isEqualTo(Prompt.Kind.CUT);
  }

  static void pass(StationRig rig, long millis) {
    rig.tick(millis);
    rig.tell();
  }

  static Target last(StationRig rig) {
    return rig.sent.get(rig.sent.size() - 1);
  }

  static List<StopMove> moves(StationRig rig) {
    return rig.all(MoveSet.class).stream().map(MoveSet::move).toList();
  }

  private MovingStops() {}
}
