package org.kerftally.protocol.quality;

import java.time.Duration;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.StationConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.protocol.probe.ProbeException;
import org.kerftally.protocol.probe.RoundTrip;
import org.kerftally.protocol.probe.SignalProbe;
import org.kerftally.protocol.probe.SignalReading;

/**
 * Says of a device's sequence numbers which target and which of its moves they mean, where moves
 * have two legs: the board and the log carry the target's number, the device twice as high a one.
 */
public final class LegProbe implements SignalProbe {

  private static final Set<String> NUMBERED =
      Set.of(Signal.ACTIVE_SEQUENCE.contractName(), Signal.LAST_CUT_SEQUENCE.contractName());

  private final SignalProbe probe;

  private LegProbe(SignalProbe probe) {
    this.probe = probe;
  }

  /** Returns the probe as it is where moves go straight, else one that explains their numbers. */
  public static SignalProbe around(SignalProbe probe, StationConfig station) {
    return station.quality().hasSide() ? new LegProbe(probe) : probe;
  }

  @Override
  public List<SignalReading> read() throws ProbeException, InterruptedException {
    return probe.read().stream().map(LegProbe::explained).toList();
  }

  /** Explains a number; anything else, and what is no number above 0, stays as it is. */
  static SignalReading explained(SignalReading r) {
    String understood = r.understood();
    if (!NUMBERED.contains(r.name())
        || understood == null
        || !understood.matches("[1-9]\\d{0,17}")) {
      return r;
    }
    return new SignalReading(
        r.name(),
        r.place(),
        r.value(),
        understood + ": " + DeviceNumbers.words(Long.parseLong(understood)),
        r.at(),
        r.ofDevice(),
        r.quality(),
        r.changedAt(),
        r.fault());
  }

  @Override
  public List<String> faults() {
    return probe.faults();
  }

  @Override
  public void watch() throws ProbeException, InterruptedException {
    probe.watch();
  }

  @Override
  public void await(Duration most) throws ProbeException, InterruptedException {
    probe.await(most);
  }

  @Override
  public @Nullable RoundTrip roundTrip(int times) throws ProbeException, InterruptedException {
    return probe.roundTrip(times);
  }

  @Override
  public void close() {
    probe.close();
  }
}
