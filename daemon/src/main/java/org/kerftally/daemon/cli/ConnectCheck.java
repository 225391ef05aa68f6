package org.kerftally.daemon.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.StationConfig;
import org.kerftally.protocol.Links;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;

/** Connects to a station, reads it whole, and shows what it says. Sends nothing that moves. */
final class ConnectCheck {

  /** Some tries of the link's own, each bounded by its timeout. */
  private static final long PATIENCE_SECONDS = 15;

  private ConnectCheck() {}

  /** Returns what is to be mended, the first first; empty when every signal was read. */
  static List<String> read(StationConfig station, Path siteFolder, Clock clock, PrintWriter out)
      throws InterruptedException {
    BlockingQueue<LinkEvent> heard = new ArrayBlockingQueue<>(1_000);
    String reason = "nothing was heard from it within " + PATIENCE_SECONDS + " s";
    long from = System.nanoTime();
    try (PositionerLink link = Links.open(station, siteFolder, clock)) {
      link.start(heard::offer);
      long until = from + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
      while (System.nanoTime() - until < 0) {
        LinkEvent event = heard.poll(100, TimeUnit.MILLISECONDS);
        if (event instanceof LinkEvent.Up up) {
          long millis = TimeUnit.NANOSECONDS.toMillis(System.nanoTime() - from);
          print(station.name(), up.snapshot(), millis, out);
          return List.of();
        } else if (event instanceof LinkEvent.Down down) {
          reason = down.reason();
        }
      }
    } catch (InterruptedException e) {
      throw e;
    } catch (Exception e) {
      reason = String.valueOf(e.getMessage());
    }
    return List.of("Station " + station.name() + ": " + reason);
  }

  private static void print(String name, DeviceSnapshot s, long millis, PrintWriter out) {
    out.println("Station " + name + ", read whole " + millis + " ms after connecting:");
    row(out, "boot", s.boot());
    row(out, "cut count", s.cutCount());
    LastCut last = s.lastCut();
    row(
        out,
        "last cut",
        last == null
            ? "none"
            : "count " + last.count() + ", target " + last.seq() + ", at " + last.position());
    row(out, "active sequence", s.activeSequence());
    row(out, "position actual value", s.position());
    row(out, "target reached", s.targetReached());
    row(out, "homing attained", s.homingAttained());
    row(out, "enabled", s.enabled());
    row(out, "remote allowed", s.remoteAllowed());
    row(out, "saw state", s.sawState());
    row(out, "fault", s.faultCode() == 0 ? "none" : s.faultCode() + " " + s.faultText());
    row(out, "sticks loaded", s.panel().stickLoaded());
    row(out, "pieces rejected", s.panel().rejected());
    row(out, "defects", s.panel().defects());
    row(out, "acknowledged", s.panel().acknowledged());
    row(out, "paused", s.panel().paused());
  }

  private static void row(PrintWriter out, String signal, @Nullable Object value) {
    out.printf(java.util.Locale.ROOT, "  %-24s %s%n", signal, value);
  }
}
