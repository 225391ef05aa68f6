package org.kerftally.daemon.cli;

import java.time.Duration;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.StationConfig;
import org.kerftally.daemon.conformance.Figures;
import org.kerftally.daemon.conformance.Permits;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;

/** Shows a person the device, and tells later whether it still stands as it was shown. */
final class Contact {

  /** How long the first word of the device may take. */
  private static final Duration CONNECT = Duration.ofSeconds(30);

  /** What the device said until the key was pressed has arrived within this. */
  private static final Duration CATCH_UP = Duration.ofMillis(300);

  private final StationConfig station;
  private final StationLine line;
  private @Nullable DeviceSnapshot device;
  private @Nullable String lost;
  private String silent = "the device said nothing within " + CONNECT.toSeconds() + " s.";

  Contact(StationConfig station, StationLine line) {
    this.station = station;
    this.line = line;
  }

  /** Returns the device as it stands, and shows it; {@code null} where it says nothing. */
  @Nullable DeviceSnapshot first() throws InterruptedException {
    long from = line.nanos();
    line.say("Connecting to " + station.link().address() + " …");
    awaitUp();
    DeviceSnapshot first = device;
    if (first != null) {
      line.say(
          "Station "
              + station.name()
              + ", read "
              + Duration.ofNanos(line.nanos() - from).toMillis()
              + " ms after connecting began:");
      DeviceLines.of(station, first).forEach(line::say);
    }
    return first;
  }

  /** Returns why the device said nothing. */
  String silent() {
    return silent;
  }

  /** Returns the device as it was heard last. */
  DeviceSnapshot device(DeviceSnapshot otherwise) {
    DeviceSnapshot now = device;
    return now == null ? otherwise : now;
  }

  private void awaitUp() throws InterruptedException {
    long until = line.nanos() + CONNECT.toNanos();
    while (line.nanos() - until < 0) {
      LinkEvent event = line.next(Duration.ofNanos(Math.max(0, until - line.nanos())));
      if (event instanceof LinkEvent.Up up) {
        device = up.snapshot();
        // What follows at once is the same device, read whole.
        catchUp();
        return;
      }
      if (event instanceof LinkEvent.Down down) {
        silent = down.reason() + ". `check --connect` says more.";
        line.say("  not yet: " + down.reason());
      }
    }
  }

  private void catchUp() throws InterruptedException {
    long until = line.nanos() + CATCH_UP.toNanos();
    while (line.nanos() - until < 0) {
      LinkEvent event = line.next(Duration.ofNanos(Math.max(0, until - line.nanos())));
      if (event instanceof LinkEvent.Snapshot heard) {
        device = heard.snapshot();
      } else if (event instanceof LinkEvent.Down down) {
        lost = down.reason();
      }
    }
  }

  /** Returns what is otherwise than it was shown; directly before a target is sent. */
  List<String> changed(DeviceSnapshot shown) throws InterruptedException {
    catchUp();
    DeviceSnapshot now = device;
    if (lost != null || now == null) {
      return List.of("the link was lost meanwhile (" + lost + ").");
    }
    if (!now.boot().equals(shown.boot())) {
      return List.of("the device was powered up anew meanwhile.");
    }
    if (now.position().minus(shown.position()).abs().isMoreThan(station.window())) {
      return List.of(
          "the stop was moved meanwhile, from "
              + Figures.mm(shown.position())
              + " to "
              + Figures.mm(now.position())
              + ".");
    }
    if (now.activeSequence() != shown.activeSequence()) {
      return List.of(
          "the device took another target meanwhile, number "
              + now.activeSequence()
              + ": somebody else commands it.");
    }
    return Permits.missing(now);
  }
}
