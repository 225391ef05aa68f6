package org.kerftally.daemon.service;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.IdentityHashMap;
import java.util.Iterator;
import java.util.List;
import java.util.Objects;
import java.util.SplittableRandom;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;

/**
 * Is the network between one service's life and the saw: everything takes time, and the line can be
 * cut, go silent without a word, or lose what was under way. It does whatever the port allows and
 * nothing else: snapshots are skipped but never overtake each other; cut reports come late, twice
 * or not at all, and overtake snapshots only where they have a topic of their own; a target reaches
 * the saw within its validity or never, and may do so although the line or the sender is gone.
 */
final class ShiftLink implements PositionerLink {

  private record Coming(long at, LinkEvent event) {}

  private record Going(long at, long sentAt, Target target) {}

  private final ShiftSaw saw;
  private final LongSupplier clock;
  private final SplittableRandom random;
  private final boolean hasTopics;
  private final boolean hasPanel;
  private final int slowMillis;
  private final Deque<Coming> coming = new ArrayDeque<>();
  private final List<Coming> reports = new ArrayList<>();
  private final List<Going> going = new ArrayList<>();
  private @Nullable Consumer<LinkEvent> sink;
  private @Nullable DeviceSnapshot told;
  private @Nullable LastCut reported;
  private final IdentityHashMap<DeviceSnapshot, Long> connects = new IdentityHashMap<>();
  private boolean up;
  private boolean silent;
  private long silentUntil;
  private long connectAt;
  private long lastComing;
  private boolean downTold;

  private boolean downReached = true;

  /** The prompt on the saw's own panel. */
  Prompt shown = Prompt.NONE;

  /** Whether the line can be made at all. */
  boolean possible = true;

  ShiftLink(ShiftSaw saw, LongSupplier clock, SplittableRandom random, boolean hasTopics) {
    this.saw = saw;
    this.clock = clock;
    this.random = random;
    this.hasTopics = hasTopics;
    this.hasPanel = random.nextBoolean();
    this.slowMillis = random.nextInt(10) == 0 ? 900 : 30;
    this.connectAt = clock.getAsLong();
  }

  @Override
  public void start(Consumer<LinkEvent> receiver) {
    sink = receiver;
  }

  @Override
  public boolean send(Target target) {
    if (!up || silent) {
      if (!up) {
        return false;
      }
      return true;
    }
    long now = clock.getAsLong();
    going.add(new Going(now + delay(), now, target));
    return true;
  }

  @Override
  public void show(Prompt prompt) {
    if (hasPanel && up && !silent) {
      shown = prompt;
    }
  }

  @Override
  public void close() {
    sink = null;
  }

  /** Returns when the signals that a connect brought were read. */
  long readAt(DeviceSnapshot connect) {
    return Objects.requireNonNull(connects.get(connect));
  }

  boolean hasPanel() {
    return hasPanel;
  }

  boolean isUp() {
    return up;
  }

  private long delay() {
    return (1 + random.nextInt(slowMillis)) * 1_000_000L;
  }

  /** The line is cut: what is under way towards the service is lost, towards the saw perhaps. */
  void cut(long backAfterNanos) {
    coming.clear();
    reports.clear();
    if (random.nextBoolean()) {
      going.clear();
    }
    connectAt = clock.getAsLong() + backAfterNanos;
    silent = false;
    if (up || !downTold) {
      up = false;
      coming.add(new Coming(clock.getAsLong() + delay(), new LinkEvent.Down("the line is cut")));
      downTold = true;
    }
  }

  /** The line goes silent: nobody is told, nothing passes, until somebody notices. */
  void fallSilent(long nanos) {
    if (up && !silent) {
      silent = true;
      silentUntil = clock.getAsLong() + nanos;
    }
  }

  /** The service is gone; what it has sent may still be under way. */
  void orphan() {
    sink = null;
    coming.clear();
    reports.clear();
  }

  /** Lets the time pass: carries what has arrived by now. */
  void carry() {
    long now = clock.getAsLong();
    reachSaw(now);
    if (sink == null) {
      return;
    }
    if (up && !saw.powered) {
      cut(delay());
    }
    if (silent && now >= silentUntil) {
      cut(delay());
    }
    if (!up && coming.isEmpty() && possible && saw.powered && now >= connectAt) {
      up = true;
      downTold = false;
      DeviceSnapshot read = saw.snapshot(now);
      connects.put(read, now);
      coming.add(new Coming(now + delay(), new LinkEvent.Up(read)));
      told = read;
      reported = read.lastCut();
    } else if (up && !silent) {
      observe(now);
    }
    deliver(now);
  }

  private void observe(long now) {
    DeviceSnapshot read = saw.snapshot(now);
    LastCut last = read.lastCut();
    if (last != null && !last.equals(reported)) {
      reported = last;
      report(now, last);
    }
    boolean noticed = !read.equals(told) && random.nextInt(5) != 0;
    if (noticed || (hasTopics && random.nextInt(40) == 0)) {
      told = read;
      lastComing = Math.max(lastComing, now + delay());
      coming.add(new Coming(lastComing, new LinkEvent.Snapshot(read)));
    }
  }

  private void report(long now, LastCut last) {
    int times = hasTopics ? random.nextInt(4) : random.nextInt(2);
    for (int i = 0; i < Math.min(times, 2); i++) {
      long late = random.nextInt(8) == 0 ? 2_000_000_000L : 0;
      Coming report = new Coming(now + delay() + late, new LinkEvent.CutReported(last));
      if (hasTopics) {
        reports.add(report);
      } else {
        coming.add(new Coming(lastComing, report.event()));
      }
    }
  }

  private void deliver(long now) {
    while (!coming.isEmpty() && coming.peek().at() <= now) {
      tell(coming.remove().event());
    }
    for (Iterator<Coming> each = reports.iterator(); each.hasNext(); ) {
      Coming report = each.next();
      if (report.at() <= now) {
        each.remove();
        if (!downReached) {
          tell(report.event());
        }
      }
    }
  }

  private void tell(LinkEvent event) {
    if (event instanceof LinkEvent.Up) {
      downReached = false;
    } else if (event instanceof LinkEvent.Down) {
      downReached = true;
    }
    Consumer<LinkEvent> receiver = sink;
    if (receiver != null) {
      receiver.accept(event);
    }
  }

  private void reachSaw(long now) {
    for (Iterator<Going> each = going.iterator(); each.hasNext(); ) {
      Going next = each.next();
      if (next.at() > now) {
        continue;
      }
      each.remove();
      boolean valid = next.at() - next.sentAt() <= next.target().validity().toNanos();
      if (valid && saw.powered) {
        LinkEvent.Replied reply = saw.take(next.target(), next.at());
        if (up && !silent && random.nextInt(12) != 0) {
          lastComing = Math.max(lastComing, now + delay());
          coming.add(new Coming(lastComing, reply));
        }
      }
    }
  }
}
