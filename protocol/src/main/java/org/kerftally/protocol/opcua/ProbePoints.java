package org.kerftally.protocol.opcua;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.protocol.probe.Understanding;

/**
 * Finds what is looked at on a server, one by one, by the same rules as {@link NodeResolver} and
 * with the checks of {@link NodeCheck}: one that is wrong hides no other.
 */
final class ProbePoints {

  private final DeviceSession session;
  private final OpcUaLinkConfig config;
  private final WiringConfig wiring;
  private final NodeFinder finder;
  private final UnitCheck units;

  private ProbePoints(DeviceSession session, OpcUaLinkConfig config) {
    this.session = session;
    this.config = config;
    this.wiring = config.wiring();
    this.finder = new NodeFinder(session, config.namespace());
    this.units = new UnitCheck(session, config);
  }

  /** Returns every point with its node or with what is wrong. */
  static List<ProbePoint> find(DeviceSession session, OpcUaLinkConfig config)
      throws InterruptedException {
    return new ProbePoints(session, config).find();
  }

  private List<ProbePoint> find() throws InterruptedException {
    List<ProbePoint> points = new ArrayList<>();
    for (Signal signal : Signal.values()) {
      ProbePoint point = signal(signal);
      if (point != null) {
        points.add(point);
      }
    }
    for (Map.Entry<String, PointConfig> entry : wiring.move().points().entrySet()) {
      points.add(found(NodeResolver.MOVE + entry.getKey(), null, entry.getValue(), true));
    }
    if (wiring.move().equals(MoveConfig.CONTRACT)) {
      points.add(contract(NodeResolver.METHOD, null));
    }
    return points;
  }

  private @Nullable ProbePoint signal(Signal signal) throws InterruptedException {
    PointConfig mapped = wiring.signals().get(signal);
    if (mapped != null) {
      return found(signal.contractName(), signal, mapped, true);
    }
    boolean byBits = signal == Signal.SAW_STATE && wiring.signals().containsKey(Signal.GUARD_UP);
    if (wiring.lacks(signal) || byBits || !Signal.ofContract().contains(signal)) {
      return null;
    }
    ProbePoint point = contract(signal.contractName(), signal);
    boolean isAbsent = point.node() == null && !signal.required();
    return isAbsent && !config.nodes().containsKey(point.name()) ? null : point;
  }

  private ProbePoint contract(String name, @Nullable Signal signal) throws InterruptedException {
    String node = config.nodes().get(name);
    Place place = node == null ? NodeResolver.inContract(name) : new Place.Node(node);
    return found(name, signal, PointConfig.plain(place), node != null);
  }

  private ProbePoint found(
      String name, @Nullable Signal signal, PointConfig point, boolean isMapped)
      throws InterruptedException {
    ProbePoint unfound = new ProbePoint(name, signal, point, null, null);
    try {
      if (!isMapped && session.namespaces().getIndex(config.namespace()) == null) {
        throw NodeResolver.noNamespace(session, config, finder);
      }
      NodeId node = finder.find(Map.of(name, point.place())).get(name);
      if (node == null && isMapped) {
        node = NodeResolver.walked(session, config, finder, name, point.place());
      }
      if (node == null) {
        throw NodeResolver.missing(session, config, name, point.place());
      }
      return checked(new ProbePoint(name, signal, point, node, null));
    } catch (LinkFault e) {
      String mend = "check " + NodeCheck.key(config, name);
      return unfound.withFault(Understanding.mended(e.reason(), mend));
    }
  }

  private ProbePoint checked(ProbePoint point) throws InterruptedException {
    try {
      NodeCheck.check(session, config, alone(point));
      return point.withFault(units.fault(point));
    } catch (LinkFault e) {
      return point.withFault(e.reason());
    }
  }

  private static NodeMap alone(ProbePoint point) {
    NodeId node = point.node();
    Map<Signal, NodeId> signals = new EnumMap<>(Signal.class);
    Map<String, NodeId> moves = new LinkedHashMap<>();
    String move = point.moveName();
    if (point.signal() != null && node != null) {
      signals.put(point.signal(), node);
    } else if (move != null && node != null) {
      moves.put(move, node);
    }
    NodeId method = point.hasValue() ? null : node;
    return new NodeMap(signals, Map.of(), null, method, moves, Map.of());
  }
}
