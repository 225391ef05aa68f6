package org.kerftally.daemon.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.concurrent.TimeUnit;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.StationConfig;
import org.kerftally.protocol.Probes;
import org.kerftally.protocol.probe.ProbeException;
import org.kerftally.protocol.probe.RoundTrip;
import org.kerftally.protocol.probe.SignalProbe;
import org.kerftally.protocol.probe.SignalReading;

/** Connects to a station, shows what each signal says, and watches them. Sends no command. */
final class ConnectCheck {

  private static final int ROUND_TRIPS = 20;
  private static final Duration STEP = Duration.ofMillis(200);

  private ConnectCheck() {}

  /**
   * Returns everything that is to be mended, the first first; empty when every signal can be used.
   *
   * @param watch how long changes are looked for; zero for not at all
   */
  static List<String> read(
      StationConfig station, Path siteFolder, Clock clock, Duration watch, PrintWriter out)
      throws InterruptedException {
    List<String> faults = new ArrayList<>();
    long from = System.nanoTime();
    try (SignalProbe probe = Probes.open(station, siteFolder, clock)) {
      List<SignalReading> readings = probe.read();
      long millis = TimeUnit.NANOSECONDS.toMillis(System.nanoTime() - from);
      out.println("Station " + station.name() + ", read " + millis + " ms after connecting began:");
      SignalTable.whole(AtTheBlade.beside(readings, station.calibration()), clock.instant())
          .forEach(out::println);
      out.println("  " + said(probe.roundTrip(ROUND_TRIPS)));
      out.flush();
      if (!watch.isZero()) {
        readings = watch(probe, watch);
        String span = " within " + watch.toSeconds() + " s: ";
        out.println("  Changed" + span + names(readings, r -> r.changedAt() != null));
        out.println("  No change seen" + span + names(readings, r -> r.changedAt() == null));
      }
      readings.stream().map(SignalReading::fault).filter(Objects::nonNull).forEach(faults::add);
      faults.addAll(probe.faults());
    } catch (ProbeException e) {
      faults.add(e.reason());
    }
    return faults.stream().distinct().map(f -> "Station " + station.name() + ": " + f).toList();
  }

  private static List<SignalReading> watch(SignalProbe probe, Duration watch)
      throws ProbeException, InterruptedException {
    probe.watch();
    long until = System.nanoTime() + watch.toNanos();
    List<SignalReading> readings = probe.read();
    for (long left = watch.toNanos(); left > 0; left = until - System.nanoTime()) {
      probe.await(Duration.ofNanos(Math.min(left, STEP.toNanos())));
      readings = probe.read();
    }
    return readings;
  }

  private static String names(List<SignalReading> readings, Predicate<SignalReading> which) {
    String names =
        readings.stream()
            .filter(r -> r.value() != null)
            .filter(which)
            .map(SignalReading::name)
            .collect(Collectors.joining(", "));
    return names.isEmpty() ? "none" : names;
  }

  private static String said(@Nullable RoundTrip trip) {
    if (trip == null) {
      return "Round trip: not measured, for there is nothing to read.";
    }
    return String.format(
        Locale.ROOT,
        "Round trip: %.1f / %.1f / %.1f ms (least / median / most of %s).",
        trip.minNanos() / 1e6,
        trip.medianNanos() / 1e6,
        trip.maxNanos() / 1e6,
        trip.what());
  }
}
