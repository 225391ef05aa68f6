package org.kerftally.protocol.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.enumerated.BrowseDirection;
import org.eclipse.milo.opcua.stack.core.types.enumerated.BrowseResultMask;
import org.eclipse.milo.opcua.stack.core.types.enumerated.NodeClass;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseDescription;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseResult;
import org.eclipse.milo.opcua.stack.core.types.structured.ReferenceDescription;
import org.eclipse.milo.opcua.stack.core.types.structured.ViewDescription;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.WiringConfig;

/**
 * Finds the device's nodes on the server, anew in every session.
 *
 * <p>A name that the configuration maps is taken as mapped and must be there. One that the device
 * lacks is not looked for. Every other name is looked for under {@code Objects/Positioner} in the
 * configured namespace; there an optional one may be missing. Whatever was found is checked to be a
 * variable or a method, so that a wrong mapping is named before anything is sent.
 */
final class NodeResolver {

  /** The object that holds everything, by its browse name in the device contract. */
  static final String OBJECT = "Positioner";

  /** The method that takes a target. */
  static final String METHOD = "MoveAbsolute";

  /** What stands before the name of a handshake's point. */
  static final String MOVE = "move.";

  /** The variables that show a prompt, in the order they are written. */
  static final List<String> PROMPTS =
      List.of("PromptText", "PromptMaterial", "PromptLength", "PromptLabel", "PromptKind");

  private final DeviceSession session;
  private final OpcUaLinkConfig config;
  private final WiringConfig wiring;
  private final NodeFinder finder;
  private final boolean isContractMove;

  private NodeResolver(DeviceSession session, OpcUaLinkConfig config) {
    this.session = session;
    this.config = config;
    this.wiring = config.wiring();
    this.finder = new NodeFinder(session, config.namespace());
    this.isContractMove = wiring.move().equals(MoveConfig.CONTRACT);
  }

  /**
   * Finds every node.
   *
   * @throws LinkFault naming the first signal that is wrong, and what to check
   */
  static NodeMap resolve(DeviceSession session, OpcUaLinkConfig config)
      throws LinkFault, InterruptedException {
    return new NodeResolver(session, config).resolve();
  }

  private NodeMap resolve() throws LinkFault, InterruptedException {
    Map<String, Place> mapped = mapped();
    Map<String, NodeId> found = finder.find(mapped);
    for (Map.Entry<String, Place> entry : mapped.entrySet()) {
      if (!found.containsKey(entry.getKey())) {
        found.put(
            entry.getKey(), walked(session, config, finder, entry.getKey(), entry.getValue()));
      }
    }
    found.putAll(browsed(mapped));
    Map<Signal, NodeId> signals = new EnumMap<>(Signal.class);
    for (Signal signal : Signal.values()) {
      NodeId node = found.get(signal.contractName());
      if (node != null) {
        signals.put(signal, node);
      } else if (isNeeded(signal)) {
        throw missing(session, config, signal.contractName(), inContract(signal.contractName()));
      }
    }
    NodeId method = found.get(METHOD);
    if (method == null && isContractMove) {
      throw missing(session, config, METHOD, inContract(METHOD));
    }
    Map<String, NodeId> prompts = new LinkedHashMap<>();
    for (String name : PROMPTS) {
      NodeId node = found.get(name);
      if (node != null) {
        prompts.put(name, node);
      }
    }
    Map<String, NodeId> points = new LinkedHashMap<>();
    for (String name : wiring.move().points().keySet()) {
      NodeId node = found.get(MOVE + name);
      if (node != null) {
        points.put(name, node);
      }
    }
    NodeMap nodes =
        new NodeMap(signals, prompts, owner(method, found.get(OBJECT)), method, points, Map.of());
    return NodeCheck.check(session, config, nodes);
  }

  private @Nullable NodeId owner(@Nullable NodeId method, @Nullable NodeId object)
      throws LinkFault, InterruptedException {
    if (method == null || !isContractMove) {
      return null;
    }
    return config.nodes().containsKey(METHOD) || object == null ? ownerOf(method) : object;
  }

  /** What the configuration maps, by its name. */
  private Map<String, Place> mapped() {
    Map<String, Place> places = new LinkedHashMap<>();
    config.nodes().forEach((name, node) -> places.put(name, new Place.Node(node)));
    wiring.signals().forEach((signal, point) -> places.put(signal.contractName(), point.place()));
    for (Map.Entry<String, PointConfig> entry : wiring.move().points().entrySet()) {
      places.put(MOVE + entry.getKey(), entry.getValue().place());
    }
    return places;
  }

  private boolean isNeeded(Signal signal) {
    boolean byBits = signal == Signal.SAW_STATE && wiring.signals().containsKey(Signal.GUARD_UP);
    return signal.required() && !wiring.lacks(signal) && !byBits;
  }

  private Map<String, NodeId> browsed(Map<String, Place> known)
      throws LinkFault, InterruptedException {
    Map<String, Place> places = new LinkedHashMap<>();
    boolean needed = false;
    for (Signal signal : Signal.ofContract()) {
      boolean byBits = signal == Signal.SAW_STATE && wiring.signals().containsKey(Signal.GUARD_UP);
      String name = signal.contractName();
      if (!known.containsKey(name) && !wiring.lacks(signal) && !byBits) {
        places.put(name, inContract(name));
        needed |= signal.required();
      }
    }
    for (String name : PROMPTS) {
      if (!known.containsKey(name)) {
        places.put(name, inContract(name));
      }
    }
    if (isContractMove && !known.containsKey(METHOD)) {
      places.put(METHOD, inContract(METHOD));
      needed = true;
    }
    if (session.namespaces().getIndex(config.namespace()) == null) {
      if (needed) {
        throw noNamespace(session, config, finder);
      }
      return Map.of();
    }
    places.put(OBJECT, new Place.BrowsePath(null, List.of(OBJECT)));
    return finder.find(places);
  }

  /** Says that the contract's namespace is not there. */
  static LinkFault noNamespace(DeviceSession session, OpcUaLinkConfig config, NodeFinder finder) {
    return new LinkFault(
        session.url()
            + " has no namespace "
            + config.namespace()
            + "; check the endpoint, or map every signal under link.opcua.signals or say under"
            + " link.opcua.lacks what stands in: "
            + finder.known());
  }

  /** Returns where the device contract has a name. */
  static Place inContract(String name) {
    return new Place.BrowsePath(null, List.of(OBJECT, name));
  }

  /**
   * Returns the node of something mapped that is not at its place in the namespace it was looked
   * for in, but at the same place in another.
   *
   * @throws LinkFault when it is nowhere, saying how far the path goes
   */
  static NodeId walked(
      DeviceSession session, OpcUaLinkConfig config, NodeFinder finder, String name, Place place)
      throws LinkFault, InterruptedException {
    if (!(place instanceof Place.BrowsePath path)) {
      throw missing(session, config, name, place);
    }
    NodeWalk.End end = finder.walk(name, path);
    if (end.node() == null) {
      throw new LinkFault(missing(session, config, name, place).reason() + ": " + end.why());
    }
    return end.node();
  }

  /** Says that nothing is at a place, and what to check. */
  static LinkFault missing(
      DeviceSession session, OpcUaLinkConfig config, String name, Place place) {
    boolean isMapped = !place.equals(inContract(name));
    return new LinkFault(
        "signal "
            + name
            + ": no "
            + place.text()
            + " in namespace "
            + namespaceOf(config, place)
            + " at "
            + session.url()
            + (isMapped
                ? "; check " + NodeCheck.key(config, name) + " against the device's address space"
                : "; check the device's program, or map it under link.opcua.signals"));
  }

  private static String namespaceOf(OpcUaLinkConfig config, Place place) {
    return place instanceof Place.BrowsePath path && path.namespace() != null
        ? path.namespace()
        : config.namespace();
  }

  /** Returns the object a method belongs to, by the way back from the method. */
  private NodeId ownerOf(NodeId method) throws LinkFault, InterruptedException {
    BrowseDescription up =
        new BrowseDescription(
            method,
            BrowseDirection.Inverse,
            NodeIds.HierarchicalReferences,
            true,
            uint(NodeClass.Object.getValue()),
            uint(BrowseResultMask.None.getValue()));
    BrowseResult[] results =
        session
            .ask(
                BrowseResponse.class,
                header ->
                    new BrowseRequest(
                        header,
                        new ViewDescription(NodeId.NULL_VALUE, null, uint(0)),
                        uint(1),
                        new BrowseDescription[] {up}))
            .getResults();
    ReferenceDescription[] owners =
        results == null || results.length == 0 ? null : results[0].getReferences();
    NodeId owner =
        owners == null || owners.length == 0
            ? null
            : owners[0].getNodeId().toNodeId(session.namespaces()).orElse(null);
    if (owner == null) {
      throw new LinkFault(
          "signal " + METHOD + ": the server does not say which object the method belongs to");
    }
    return owner;
  }
}
