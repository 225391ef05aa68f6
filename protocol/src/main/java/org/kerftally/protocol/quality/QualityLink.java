package org.kerftally.protocol.quality;

import java.time.Clock;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.StationConfig;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Puts what a station's configuration asks of its moves in front of a link. {@link QualityCore}
 * decides, this carries out.
 *
 * <p>The panel asks for a cut only while the stop stands at its target: until then it says nothing,
 * so that nobody cuts where a move only turns.
 *
 * <p>Threading: a decision is taken under a lock, and nothing is called with it held. The second
 * leg of a move is sent by the link's own thread, in the event that makes it due, so that no other
 * event is passed over. Events and prompts go out through one lane, in the order of the decisions.
 */
public final class QualityLink implements PositionerLink {

  private static final Logger LOG = LoggerFactory.getLogger(QualityLink.class);

  private final PositionerLink link;
  private final String station;
  private final Clock clock;
  private final LongSupplier nanos;
  private final Lane lane;
  private final Object lock = new Object();
  private final QualityCore core;
  private final AtomicBoolean started = new AtomicBoolean();
  private volatile @Nullable Consumer<LinkEvent> sink;
  private volatile boolean closed;
  private @Nullable Prompt asked;
  private @Nullable Prompt shown;
  private @Nullable Long tickNanos;

  QualityLink(
      PositionerLink link, StationConfig station, Clock clock, LongSupplier nanos, Lane lane) {
    this.link = link;
    this.station = station.name();
    this.clock = clock;
    this.nanos = nanos;
    this.lane = lane;
    this.core = new QualityCore(station);
  }

  /** Returns the link as it is where the station asks for nothing, else one that sees to it. */
  public static PositionerLink around(PositionerLink link, StationConfig station, Clock clock) {
    return station.quality().asks()
        ? new QualityLink(
            link,
            station,
            clock,
            System::nanoTime,
            new ThreadLane("kerftally-moves-" + station.name()))
        : link;
  }

  @Override
  public void start(Consumer<LinkEvent> receiver) {
    if (!started.compareAndSet(false, true)) {
      throw new IllegalStateException("the link of " + station + " was started before");
    }
    sink = receiver;
    link.start(this::hear);
  }

  @Override
  public boolean send(Target target) {
    Target leg;
    synchronized (lock) {
      if (closed || !clock.instant().isBefore(target.validUntil())) {
        return false;
      }
      QualityCore.Offer offer = core.offer(target, now());
      if (offer instanceof QualityCore.Offer.Refused refused) {
        pass(refused.reply());
        return true;
      }
      if (!(offer instanceof QualityCore.Offer.Leg first)) {
        return false;
      }
      leg = first.target();
      settle();
    }
    if (link.send(leg)) {
      return true;
    }
    notSent(leg);
    return false;
  }

  private void hear(LinkEvent event) {
    Target leg;
    synchronized (lock) {
      QualityCore.Step step = core.hear(event, now());
      if (step.note() != null) {
        LOG.warn("{}: {}", station, step.note());
      }
      pass(step.heard());
      settle();
      leg = step.leg();
    }
    if (leg != null && !link.send(leg)) {
      LOG.warn("{}: the second leg of a move, {}, was not sent, no link", station, leg.seq());
      notSent(leg);
    }
  }

  private void notSent(Target leg) {
    synchronized (lock) {
      core.notSent(leg.seq());
      settle();
    }
  }

  private void tick() {
    synchronized (lock) {
      tickNanos = null;
      pass(core.tick(nanos.getAsLong()));
      settle();
    }
  }

  @Override
  public void show(Prompt prompt) {
    synchronized (lock) {
      asked = prompt;
      settle();
    }
  }

  /** Brings the panel and the next tick up to the core as it is. */
  private void settle() {
    Prompt due = asked;
    if (due != null) {
      Prompt next = isCut(due) && !core.mayCut() ? Prompt.NONE : due;
      if (!next.equals(shown)) {
        shown = next;
        lane.run(() -> link.show(next));
      }
    }
    Long tick = core.dueNanos();
    if (tick != null && (tickNanos == null || tick - tickNanos < 0)) {
      tickNanos = tick;
      lane.after(tick - nanos.getAsLong(), this::tick);
    }
  }

  private static boolean isCut(Prompt prompt) {
    return prompt.kind() == Prompt.Kind.CUT || prompt.kind() == Prompt.Kind.SQUARE_END;
  }

  private void pass(@Nullable LinkEvent event) {
    Consumer<LinkEvent> receiver = sink;
    if (event != null && receiver != null) {
      lane.run(
          () -> {
            if (!closed) {
              receiver.accept(event);
            }
          });
    }
  }

  private QualityCore.Moment now() {
    return new QualityCore.Moment(clock.instant(), nanos.getAsLong());
  }

  @Override
  public void close() {
    closed = true;
    link.close();
    lane.close();
  }
}
