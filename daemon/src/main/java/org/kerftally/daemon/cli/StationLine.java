package org.kerftally.daemon.cli;

import java.io.PrintWriter;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.conformance.Bench;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;

/** Puts a station's link on the bench: the link's events in order, one thread that takes them. */
class StationLine implements Bench, AutoCloseable {

  /** Far more than a device says while one thread looks away; then the line counts as lost. */
  private static final int MAX_WAITING = 20_000;

  private static final Duration STEP = Duration.ofMillis(100);

  private final Supplier<PositionerLink> links;
  private final Clock clock;
  private final PrintWriter out;
  private final CompletableFuture<Void> stop;
  private BlockingQueue<LinkEvent> events = new LinkedBlockingQueue<>(MAX_WAITING);
  private PositionerLink link;

  StationLine(
      Supplier<PositionerLink> links, Clock clock, PrintWriter out, CompletableFuture<Void> stop) {
    this.links = links;
    this.clock = clock;
    this.out = out;
    this.stop = stop;
    this.link = open();
  }

  private PositionerLink open() {
    BlockingQueue<LinkEvent> queue = new LinkedBlockingQueue<>(MAX_WAITING);
    events = queue;
    PositionerLink opened = links.get();
    opened.start(
        event -> {
          if (!queue.offer(event)) {
            queue.clear();
            queue.add(new LinkEvent.Down("the device says more than can be taken in"));
          }
        });
    return opened;
  }

  @Override
  public long nanos() {
    return System.nanoTime();
  }

  @Override
  public Instant wall() {
    return clock.instant();
  }

  @Override
  public @Nullable LinkEvent next(Duration most) throws InterruptedException {
    long until = System.nanoTime() + most.toNanos();
    long left = most.toNanos();
    do {
      if (stop.isDone()) {
        throw new InterruptedException("ended by a signal");
      }
      LinkEvent event =
          events.poll(Math.min(STEP.toNanos(), Math.max(0, left)), TimeUnit.NANOSECONDS);
      if (event != null) {
        return event;
      }
      left = until - System.nanoTime();
    } while (left > 0);
    return null;
  }

  @Override
  public boolean send(Target target) {
    return link.send(target);
  }

  @Override
  public void say(String line) {
    out.println(line);
    out.flush();
  }

  /** Shows something on the machine's panel, where it has one. It commands nothing. */
  public void show(Prompt prompt) {
    link.show(prompt);
  }

  /** Drops the connection and makes a new one. */
  void reopen() {
    link.close();
    link = open();
  }

  @Override
  public void close() {
    link.close();
  }
}
