package org.kerftally.protocol.opcua;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import java.util.Objects;
import org.eclipse.milo.opcua.stack.core.AttributeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteValue;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.protocol.LinkTap;
import org.kerftally.protocol.LinkTap.Way;
import org.kerftally.protocol.wiring.DevicePicture;
import org.kerftally.protocol.wiring.MoveEngine;
import org.kerftally.protocol.wiring.MoveInputs;
import org.kerftally.protocol.wiring.PointValues;
import org.kerftally.protocol.wiring.RawValue;
import org.kerftally.protocol.wiring.SignalFault;
import org.kerftally.protocol.wiring.Write;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;

/**
 * Hands targets to a device that has no method for it, by reading and writing nodes as a {@link
 * MoveEngine} says. For one connection.
 *
 * <p>Each write waits for its answer before the next is made, so a device never sees the strobe
 * before the position. A write that fails or is not answered loses the connection: nobody knows
 * what the device has, and a new connection begins with taking it back. Of the writes that give a
 * target none goes out once the target is void, and the server is told until when each holds: a
 * slow answer to the position must not make the strobe late.
 *
 * <p>Threading: {@link #offer} may be called by any thread, all else by the link's own.
 */
final class HandshakeRunner {

  private final DeviceSession session;
  private final OpcUaLinkConfig config;
  private final NodeMap nodes;
  private final MoveEngine engine;
  private final LinkTap tap;
  private @Nullable MoveInputs inputs;
  private boolean permitted;
  private volatile Instant validUntil = Instant.MIN;
  private volatile long untilNanos;

  private HandshakeRunner(
      DeviceSession session,
      OpcUaLinkConfig config,
      NodeMap nodes,
      MoveEngine engine,
      LinkTap tap) {
    this.tap = tap;
    this.session = session;
    this.config = config;
    this.nodes = nodes;
    this.engine = engine;
  }

  /**
   * Begins on a new connection: takes back what an earlier one left standing.
   *
   * @return {@code null} for a device with the contract's method
   */
  static @Nullable HandshakeRunner begin(
      DeviceSession session,
      OpcUaLinkConfig config,
      NodeMap nodes,
      DevicePicture picture,
      LinkTap tap)
      throws LinkFault, InterruptedException {
    MoveConfig move = config.wiring().move();
    if (move.equals(MoveConfig.CONTRACT)) {
      return null;
    }
    MoveEngine engine = new MoveEngine(move, picture);
    HandshakeRunner runner = new HandshakeRunner(session, config, nodes, engine, tap);
    for (Write write : engine.begin().writes()) {
      runner.write(write, session.timeout());
    }
    return runner;
  }

  /** Takes a target over; {@code false} while another is under way. Any thread. */
  boolean offer(Target target, long voidAtNanos) {
    synchronized (engine) {
      boolean taken = engine.offer(target, voidAtNanos);
      if (taken) {
        validUntil = target.validUntil();
        untilNanos = voidAtNanos;
      }
      return taken;
    }
  }

  /** Tells whether a target is on its way to the device. */
  boolean isBusy() {
    synchronized (engine) {
      return engine.isBusy();
    }
  }

  /** Returns when the last target taken over is void. */
  Instant validUntil() {
    return validUntil;
  }

  /** Notes what a reading said. */
  void saw(Map<String, RawValue> points, DeviceSnapshot snapshot) {
    inputs = new MoveInputs(engine.move(), points, snapshot.activeSequence());
    permitted = snapshot.permitsMove();
  }

  /**
   * Goes on after a reading.
   *
   * @return what to tell the station, {@code null} for nothing
   */
  LinkEvent.@Nullable Replied goOn() throws LinkFault, InterruptedException {
    MoveEngine.Work work;
    try {
      synchronized (engine) {
        work = engine.look(Objects.requireNonNull(inputs), permitted, System.nanoTime());
      }
    } catch (SignalFault e) {
      throw new LinkFault(e.reason(), e);
    }
    for (Write write : work.writes()) {
      Duration limit = work.starts() ? leastOf(session.timeout(), left()) : session.timeout();
      if (limit.toMillis() <= 0) {
        // Void by now: the next look takes back what went out before.
        break;
      }
      write(write, limit);
    }
    return work.reply();
  }

  private Duration left() {
    return Duration.ofNanos(untilNanos - System.nanoTime());
  }

  private static Duration leastOf(Duration a, Duration b) {
    return a.compareTo(b) < 0 ? a : b;
  }

  private void write(Write write, Duration limit) throws LinkFault, InterruptedException {
    String name = NodeResolver.MOVE + write.point();
    NodeId node = Objects.requireNonNull(nodes.points().get(write.point()), name);
    PlainType type = Objects.requireNonNull(nodes.types().get(write.point()), name);
    WriteValue[] values = {
      new WriteValue(
          node, AttributeId.Value.uid(), null, DataValue.valueOnly(value(name, write, type)))
    };
    String place = WireText.place(name, node);
    tap.text(Way.TO_DEVICE, "write", place, WireText.of(values[0].getValue()));
    WriteResponse response =
        session.ask(WriteResponse.class, header -> new WriteRequest(header, values), limit);
    StatusCode[] results = response.getResults();
    StatusCode result = results == null || results.length != 1 ? StatusCode.BAD : results[0];
    tap.text(Way.FROM_DEVICE, "answer", place, SnapshotReader.name(result));
    if (!result.isGood()) {
      throw new LinkFault(
          "signal "
              + name
              + ": node "
              + node.toParseableString()
              + " could not be written ("
              + SnapshotReader.name(result)
              + "); check "
              + NodeCheck.key(config, name)
              + " and the device's access rights");
    }
  }

  private Variant value(String name, Write write, PlainType type) throws LinkFault {
    try {
      if (write instanceof Write.Flag flag) {
        return type.flag(flag.on());
      }
      if (write instanceof Write.Count number) {
        return type.number(BigDecimal.valueOf(number.number()));
      }
      if (write instanceof Write.Position position) {
        PointConfig point = engine.move().point("position");
        return type.number(PointValues.deviceUnits(point, position.position()));
      }
    } catch (IllegalArgumentException e) {
      throw new LinkFault(
          "signal " + name + ": " + e.getMessage() + "; check its `unit` and `reversed`", e);
    }
    throw new LinkFault("signal " + name + ": a message cannot be sent over OPC UA");
  }
}
