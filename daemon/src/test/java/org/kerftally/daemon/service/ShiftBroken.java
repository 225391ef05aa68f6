package org.kerftally.daemon.service;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.cutlog.EventLog;
import org.kerftally.daemon.cutlog.MemoryLog;
import org.kerftally.daemon.station.Decision;
import org.kerftally.daemon.station.StationCore;
import org.kerftally.daemon.station.StationEffect;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.daemon.station.StationState;
import org.kerftally.daemon.station.StationState.Counted;
import org.kerftally.daemon.station.StationState.OpenTarget;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;

/** Services that are broken on purpose, to show that the simulation finds it. */
enum ShiftBroken implements ShiftDesign {
  /** Acts on events that are on disk only later: what was sent may never have been written. */
  LOGS_AFTER_SENDING {
    @Override
    public EventLog log(MemoryLog disk) {
      return new Late(disk);
    }
  },

  /** Books every report of a cycle, whether it was booked before or not. */
  BOOKS_REPORTS_AGAIN {
    @Override
    public boolean booksEachCycleOnce() {
      return false;
    }

    @Override
    public StationOwner.Decider decider(StationSetup setup) {
      StationCore core = new StationCore(setup.rules());
      return (state, senses, input, now) ->
          core.decide(forgetting(state, input), senses, input, now);
    }
  },

  /** Sends the open target again as soon as the link is up after a restart. */
  SENDS_AGAIN_AFTER_RESTART {
    @Override
    public StationOwner.Decider decider(StationSetup setup) {
      StationCore core = new StationCore(setup.rules());
      return (state, senses, input, now) -> {
        Decision decision = core.decide(state, senses, input, now);
        OpenTarget open = decision.state().target();
        boolean back =
            input instanceof StationInput.FromLink told && told.event() instanceof LinkEvent.Up;
        if (!back || open == null) {
          return decision;
        }
        List<StationEffect> effects = new ArrayList<>(decision.effects());
        effects.add(new StationEffect.Send(again(setup, open)));
        return new Decision(decision.state(), decision.senses(), decision.events(), effects);
      };
    }
  };

  private static Target again(StationSetup setup, OpenTarget open) {
    var set = open.set();
    return new Target(
        set.seq(),
        set.position(),
        set.part(),
        set.job(),
        set.validUntil(),
        setup.rules().validity());
  }

  /** Forgets that the reported cycle was booked. */
  private static StationState forgetting(StationState s, StationInput input) {
    Counted counted = s.counted();
    if (counted == null
        || !(input instanceof StationInput.FromLink told)
        || !(told.event() instanceof LinkEvent.CutReported report)
        || !report.cut().boot().equals(counted.boot())
        || report.cut().count() > counted.count()) {
      return s;
    }
    return new StationState(
        s.driven(),
        s.linkUp(),
        s.armed(),
        s.alarm(),
        s.paused(),
        new Counted(counted.boot(), report.cut().count() - 1),
        s.panel(),
        s.lastSeq(),
        s.faults(),
        s.queue(),
        s.run(),
        s.target(),
        s.dropped(),
        null,
        s.misses(),
        s.offcuts(),
        s.ended(),
        s.owed(),
        s.move(),
        s.cutAt(),
        s.parked());
  }

  /** Is a log that says it has written what it writes only with the next append. */
  private static final class Late implements EventLog {

    private record Held(@Nullable String station, List<Event> events) {}

    private final MemoryLog disk;
    private @Nullable Held held;

    Late(MemoryLog disk) {
      this.disk = disk;
    }

    @Override
    public List<Recorded> append(@Nullable String station, List<? extends Event> events) {
      Held before = held;
      held = new Held(station, new ArrayList<>(events));
      return before == null ? List.of() : disk.append(before.station(), before.events());
    }
  }
}
