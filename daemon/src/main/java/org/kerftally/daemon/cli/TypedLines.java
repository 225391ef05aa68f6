package org.kerftally.daemon.cli;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * Reads what a person types, a line at a time, and never waits longer than it is told to.
 *
 * <p>What was typed before a question does not answer it: lines that wait are thrown away when one
 * is asked for, and the reading begins with the program. So a line in a pipe is no answer either.
 *
 * <p>Threading: one thread asks. Standard input cannot be read with an end to the waiting, so a
 * daemon thread reads it.
 */
final class TypedLines {

  private static final int MAX_CHARS = 200;
  private static final int MAX_WAITING = 64;
  private static final Duration STEP = Duration.ofMillis(100);

  private final InputStream in;
  private final BlockingQueue<String> lines = new LinkedBlockingQueue<>(MAX_WAITING);
  private volatile boolean ended;
  private boolean started;

  TypedLines(InputStream in) {
    this.in = in;
  }

  /**
   * Is what came of a question.
   *
   * @param line what was typed, {@code null} for nothing
   * @param why why nothing was, empty when something was
   */
  record Typed(@Nullable String line, String why) {}

  /** Begins to read, so that what is typed from now on is known to be early. */
  void start() {
    if (started) {
      return;
    }
    started = true;
    Thread reader = new Thread(this::read, "typed-lines");
    reader.setDaemon(true);
    reader.start();
  }

  /** Waits for a line that is typed from now on. */
  Typed ask(Duration most, CompletableFuture<Void> stop) throws InterruptedException {
    start();
    lines.clear();
    long until = System.nanoTime() + most.toNanos();
    while (System.nanoTime() - until < 0) {
      if (stop.isDone()) {
        throw new InterruptedException("ended by a signal");
      }
      boolean last = ended;
      String line = lines.poll(last ? 0 : STEP.toMillis(), TimeUnit.MILLISECONDS);
      if (line != null) {
        return new Typed(line.strip().replaceAll("\\s+", " "), "");
      }
      if (last) {
        return new Typed(null, "standard input has ended");
      }
    }
    return new Typed(null, "nothing was typed within " + most.toSeconds() + " s");
  }

  private void read() {
    try {
      StringBuilder line = new StringBuilder();
      for (int c = in.read(); c >= 0; c = in.read()) {
        if (c == '\n') {
          boolean kept = lines.offer(utf8(line));
          line.setLength(0);
          if (!kept) {
            break;
          }
        } else if (line.length() < MAX_CHARS) {
          line.append((char) c);
        }
      }
    } catch (IOException e) {
      // As good as its end: nothing more can be typed.
    } finally {
      ended = true;
    }
  }

  private static String utf8(StringBuilder bytes) {
    return new String(
        bytes.toString().getBytes(StandardCharsets.ISO_8859_1), StandardCharsets.UTF_8);
  }
}
