package org.kerftally.daemon.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.CompletableFuture;
import org.kerftally.config.StationConfig;
import org.kerftally.daemon.conformance.Rig;
import org.kerftally.protocol.Links;
import org.kerftally.protocol.Probes;
import org.kerftally.protocol.probe.ProbeException;
import org.kerftally.protocol.probe.SignalProbe;
import org.kerftally.protocol.probe.SignalReading;

/**
 * Is a station's line with all that the device contract's steps need. It passes on what the device
 * says as it says it: dwell and approach are the station's, not the device's.
 */
final class ConformLine extends StationLine implements Rig {

  /** How far back the link's clock is set while a late target goes out. */
  private static final Duration BACK = Duration.ofSeconds(10);

  private final StationConfig station;
  private final Path siteFolder;
  private final ShiftedClock links;

  private ConformLine(
      StationConfig station,
      Path siteFolder,
      ShiftedClock links,
      PrintWriter out,
      CompletableFuture<Void> stop) {
    super(
        () -> Links.open(station.name(), station.link(), station.window(), siteFolder, links),
        Clock.systemUTC(),
        out,
        stop);
    this.station = station;
    this.siteFolder = siteFolder;
    this.links = links;
  }

  static ConformLine open(
      StationConfig station, Path siteFolder, PrintWriter out, CompletableFuture<Void> stop) {
    return new ConformLine(station, siteFolder, new ShiftedClock(Clock.systemUTC()), out, stop);
  }

  @Override
  public void reconnect() {
    reopen();
  }

  @Override
  public void late(boolean on) {
    links.setBack(on ? BACK : Duration.ZERO);
  }

  @Override
  public List<String> signalFaults() throws InterruptedException {
    try (SignalProbe probe = Probes.open(station, siteFolder, Clock.systemUTC())) {
      List<SignalReading> readings = probe.read();
      List<String> faults = new ArrayList<>();
      readings.stream().map(SignalReading::fault).filter(Objects::nonNull).forEach(faults::add);
      faults.addAll(probe.faults());
      return faults.stream().distinct().toList();
    } catch (ProbeException e) {
      return List.of(e.reason());
    }
  }
}
