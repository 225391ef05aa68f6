package org.kerftally.protocol.opcua;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import org.eclipse.milo.opcua.stack.core.AttributeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.DateTime;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.QualifiedName;
import org.eclipse.milo.opcua.stack.core.types.enumerated.TimestampsToReturn;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadValueId;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.protocol.probe.ProbeException;
import org.kerftally.protocol.probe.RoundTrip;
import org.kerftally.protocol.probe.SignalProbe;
import org.kerftally.protocol.probe.SignalReading;
import org.kerftally.protocol.probe.Understanding;
import org.kerftally.protocol.wiring.DevicePicture;
import org.kerftally.protocol.wiring.RawValue;
import org.kerftally.protocol.wiring.SignalFault;
import org.kerftally.shared.length.Length;

/** Looks at a device over OPC UA: browses, reads and subscribes, and sends nothing else. */
public final class OpcUaProbe implements SignalProbe {

  private static final String MARK = "check";

  private final OpcUaLinkConfig config;
  private final Length window;
  private final Clock clock;
  private final DeviceSession session;
  private final List<ProbePoint> points;
  private final Semaphore stirs = new Semaphore(0);
  private final Map<String, RawValue> last = new HashMap<>();
  private final Map<String, Instant> changed = new HashMap<>();
  private @Nullable String unsubscribable;
  private @Nullable String together;
  private boolean watching;

  private OpcUaProbe(
      OpcUaLinkConfig config,
      Length window,
      Clock clock,
      DeviceSession session,
      List<ProbePoint> points) {
    this.config = config;
    this.window = window;
    this.clock = clock;
    this.session = session;
    this.points = points;
  }

  /**
   * Connects and finds every node.
   *
   * @param window how far from its target the stop still counts as in position
   * @throws ProbeException when the server cannot be spoken to
   */
  public static OpcUaProbe open(
      String station,
      OpcUaLinkConfig config,
      Length window,
      CertificateFolder certificates,
      Clock clock)
      throws ProbeException, InterruptedException {
    LinkSecurity security = new LinkSecurity(config, certificates, LinkSecurity.CHANNEL_LIFETIME);
    try {
      DeviceSession session =
          DeviceSession.open(
              station, config, security, new Endpoints(config, security).endpoint(), () -> {});
      boolean open = false;
      try {
        List<ProbePoint> points = ProbePoints.find(session, config);
        open = true;
        return new OpcUaProbe(config, window, clock, session, points);
      } finally {
        if (!open) {
          session.close();
        }
      }
    } catch (LinkFault e) {
      throw new ProbeException(e.reason(), e);
    }
  }

  @Override
  public List<SignalReading> read() throws ProbeException, InterruptedException {
    Map<String, DataValue> values = values();
    List<SignalReading> readings = new ArrayList<>();
    Map<Signal, RawValue> signals = new EnumMap<>(Signal.class);
    boolean whole = true;
    for (ProbePoint point : points) {
      DataValue value = values.get(point.name());
      RawValue raw = value == null ? null : SnapshotReader.raw(value);
      if (raw != null) {
        note(point.name(), raw);
      }
      SignalReading reading = reading(point, value, raw);
      readings.add(reading);
      whole &= reading.fault() == null;
      if (point.signal() != null && raw != null) {
        signals.put(point.signal(), raw);
      }
    }
    together = whole ? together(signals) : null;
    return readings;
  }

  private Map<String, DataValue> values() throws ProbeException, InterruptedException {
    List<ProbePoint> asked = points.stream().filter(ProbePoint::hasValue).toList();
    ReadValueId[] ids =
        asked.stream()
            .map(
                p ->
                    new ReadValueId(
                        p.node(), AttributeId.Value.uid(), null, QualifiedName.NULL_VALUE))
            .toArray(ReadValueId[]::new);
    Map<String, DataValue> values = new HashMap<>();
    if (ids.length == 0) {
      return values;
    }
    try {
      DataValue[] results =
          session
              .ask(
                  ReadResponse.class,
                  header -> new ReadRequest(header, 0.0, TimestampsToReturn.Source, ids))
              .getResults();
      for (int i = 0; results != null && i < Math.min(results.length, ids.length); i++) {
        values.put(asked.get(i).name(), results[i]);
      }
      return values;
    } catch (LinkFault e) {
      throw new ProbeException(e.reason(), e);
    }
  }

  private void note(String name, RawValue raw) {
    RawValue before = last.put(name, raw);
    if (watching && before != null && !before.equals(raw)) {
      changed.put(name, clock.instant());
    }
  }

  private SignalReading reading(
      ProbePoint point, @Nullable DataValue value, @Nullable RawValue raw) {
    Understanding understood = raw == null ? new Understanding(null, null) : understand(point, raw);
    DateTime source = value == null ? null : value.sourceTime();
    Instant at = source == null || source.isNull() ? null : source.getJavaInstant();
    String absent = point.name().equals(NodeResolver.METHOD) ? "a method, not called" : "no value";
    return new SignalReading(
        point.name(),
        point.point().place().text(),
        raw == null ? null : Understanding.shown(raw),
        point.fault() == null ? understood.text() : null,
        at,
        at != null,
        value == null
            ? absent
            : value.statusCode().isGood()
                ? SignalReading.GOOD
                : SnapshotReader.name(value.statusCode()),
        changed.get(point.name()),
        point.fault() == null ? understood.fault() : point.fault());
  }

  private Understanding understand(ProbePoint point, RawValue raw) {
    String mend = "check " + key(point);
    Signal signal = point.signal();
    if (signal != null) {
      return Understanding.of(signal, point.point(), raw, mend);
    }
    String name = Objects.requireNonNull(point.moveName());
    return MoveConfig.WRITTEN.contains(name)
        ? new Understanding("written by Kerftally", null)
        : Understanding.ofMove(name, point.point(), raw, mend);
  }

  private String key(ProbePoint point) {
    boolean inContract = point.point().place().equals(NodeResolver.inContract(point.name()));
    return inContract
        ? "the device's program, or map it under link.opcua.signals"
        : NodeCheck.key(config, point.name());
  }

  /** What single values do not show: types and bounds of the contract, and what disagrees. */
  private @Nullable String together(Map<Signal, RawValue> signals) {
    DevicePicture picture = new DevicePicture(config.wiring(), window, MARK);
    picture.connected();
    try {
      var unused = picture.take(signals);
      return null;
    } catch (SignalFault e) {
      return Understanding.mended(e.reason(), "check the device's program, or map it anew");
    }
  }

  @Override
  public List<String> faults() {
    List<String> faults = new ArrayList<>();
    if (together != null) {
      faults.add(together);
    }
    if (unsubscribable != null) {
      faults.add(unsubscribable);
    }
    return faults;
  }

  @Override
  public void watch() {
    watching = true;
    Map<String, NodeId> nodes = new LinkedHashMap<>();
    for (ProbePoint point : points) {
      RawValue raw = last.get(point.name());
      // One that cannot even be read is named already.
      boolean isReadable = point.fault() == null || (raw != null && raw.bad() == null);
      if (point.hasValue() && point.node() != null && isReadable) {
        nodes.put(point.name(), point.node());
      }
    }
    try {
      WakeUp.subscribe(session, nodes, config.publishing(), stirs::release, stirs::release);
    } catch (LinkFault e) {
      unsubscribable = Understanding.mended(e.reason(), "check the device's limits and rights");
    }
  }

  @Override
  public void await(Duration most) throws InterruptedException {
    if (stirs.tryAcquire(most.toNanos(), TimeUnit.NANOSECONDS)) {
      int unused = stirs.drainPermits();
    }
  }

  @Override
  public @Nullable RoundTrip roundTrip(int times) throws ProbeException, InterruptedException {
    long[] nanos = new long[times];
    for (int i = 0; i < times; i++) {
      long from = System.nanoTime();
      Map<String, DataValue> read = values();
      nanos[i] = System.nanoTime() - from;
      if (read.isEmpty()) {
        return null;
      }
    }
    return RoundTrip.of(times + " reads of all signals", nanos);
  }

  @Override
  public void close() {
    session.close();
  }
}
