package org.kerftally.daemon.service;

import java.util.SplittableRandom;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.station.StationInput;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/** Is one saw of the simulated shop with its line, its operator and the laws that hold there. */
final class ShiftStation {

  private static final long PATIENCE_NANOS = 3_000_000_000L;

  final StationSetup setup;
  final ShiftSaw saw;
  final ShiftLaws laws;
  final boolean hasTopics;
  private final SplittableRandom random;
  private final LongSupplier clock;
  private final boolean assumesSticks;
  private final boolean measures;
  ShiftLink link;
  @Nullable StationOwner owner;
  private Prompt acted = Prompt.NONE;
  private long actedAt;
  private @Nullable DeviceSnapshot known;

  ShiftStation(StationSetup setup, SplittableRandom random, LongSupplier clock) {
    this.setup = setup;
    this.random = random;
    this.clock = clock;
    var rules = setup.rules();
    this.saw = new ShiftSaw(random, rules.layout(), rules.rules());
    this.laws = new ShiftLaws(saw, rules.rules(), rules.window());
    this.hasTopics = random.nextBoolean();
    this.measures = random.nextBoolean();
    this.assumesSticks = rules.assumeStick();
    this.link = new ShiftLink(saw, clock, random, hasTopics);
  }

  /** Makes the line anew, for a new life of the service. */
  PositionerLink connect() {
    link = new ShiftLink(saw, clock, random, hasTopics);
    return new Judged(link);
  }

  /** Judges every target on its way out. */
  private final class Judged implements PositionerLink {
    private final ShiftLink to;

    Judged(ShiftLink to) {
      this.to = to;
    }

    @Override
    public void start(Consumer<LinkEvent> sink) {
      to.start(sink);
    }

    @Override
    public boolean send(Target target) {
      laws.send(target, known);
      return to.send(target);
    }

    @Override
    public void show(Prompt prompt) {
      to.show(prompt);
    }

    @Override
    public void close() {
      to.close();
    }
  }

  /** Lets the saw and the line go on. */
  void carry() {
    saw.tick(clock.getAsLong());
    link.carry();
  }

  /** The operator looks at the saw's panel, or at the board, and does what is asked there. */
  void operate(boolean careless) {
    long now = clock.getAsLong();
    StationOwner running = owner;
    Prompt prompt = link.hasPanel() || running == null ? link.shown : running.view().prompt();
    if (!saw.powered || !saw.isIdle()) {
      return;
    }
    if (prompt.kind() == Prompt.Kind.CUT || prompt.kind() == Prompt.Kind.SQUARE_END) {
      if (careless || (saw.isReached(now) && !saw.isCut())) {
        saw.stroke(now);
      }
      return;
    }
    if (prompt.equals(acted) && now - actedAt < PATIENCE_NANOS) {
      return;
    }
    acted = prompt;
    actedAt = now;
    switch (prompt.kind()) {
      case LOAD_STICK -> load(prompt.length());
      case ACKNOWLEDGE -> saw.acknowledge(now);
      case CLEAR_MACHINE -> mend();
      default -> {}
    }
  }

  private void load(@Nullable Length asked) {
    if (asked == null || assumesSticks) {
      return;
    }
    boolean asTold = random.nextInt(6) != 0;
    Length length =
        asTold ? asked : asked.minus(Length.ofMm(1 + random.nextInt(300))).max(Length.ofMm(60));
    saw.load(length, measures, asTold);
  }

  /** Everything at the machine is put right. */
  void mend() {
    saw.fault = 0;
    saw.homed = true;
    saw.enabled = true;
    saw.remote = true;
  }

  /** One of the things that go wrong at a saw or on its line. */
  void mishap(int which) {
    long now = clock.getAsLong();
    switch (which) {
      case 0 -> link.cut(1_000_000L * random.nextInt(4_000));
      case 1 -> link.fallSilent(1_000_000L * random.nextInt(6_000));
      case 2 -> saw.stop(1 + random.nextInt(8), now);
      case 3 -> power(now);
      case 4 -> saw.stroke(now);
      case 5 -> saw.displace(now);
      case 6 -> saw.reject();
      case 7 -> saw.defect(random.nextInt(4) == 0 ? null : Length.ofMm(random.nextInt(1_500)));
      case 8 -> saw.paused = !saw.paused;
      case 9 -> saw.enabled = !saw.enabled;
      case 10 -> saw.remote = !saw.remote;
      case 11 -> saw.acknowledge(now);
      case 12 -> saw.load(Length.ofMm(200 + random.nextInt(2_000)), measures, false);
      case 13 -> mend();
      default -> saw.stop(3, now);
    }
  }

  /** How many kinds of mishaps there are. */
  static final int MISHAPS = 15;

  private void power(long now) {
    if (saw.powered) {
      saw.powerDown(now);
      if (random.nextInt(3) != 0) {
        saw.powerUp();
        link.cut(1_000_000L * random.nextInt(3_000));
      }
    } else {
      saw.powerUp();
    }
  }

  /** Everybody is back at work and nothing fails any more. */
  void calm() {
    if (!saw.powered) {
      saw.powerUp();
    }
    mend();
    saw.paused = false;
    link.possible = true;
  }

  /** Decides as the service is built to, and notes what it was told of the saw by then. */
  StationOwner.Decider deciding(StationOwner.Decider decider) {
    known = null;
    return (state, senses, input, now) -> {
      if (input instanceof StationInput.FromLink told) {
        if (told.event() instanceof LinkEvent.Up e) {
          known = e.snapshot();
          laws.linkRead(link.readAt(e.snapshot()));
        } else if (told.event() instanceof LinkEvent.Snapshot e) {
          known = e.snapshot();
        } else if (told.event() instanceof LinkEvent.Down) {
          known = null;
        }
      }
      return decider.decide(state, senses, input, now);
    };
  }
}
