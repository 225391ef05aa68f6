package org.kerftally.protocol.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.eclipse.milo.opcua.stack.core.AttributeId;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.UaRuntimeException;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.ExpandedNodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.QualifiedName;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UShort;
import org.eclipse.milo.opcua.stack.core.types.enumerated.BrowseDirection;
import org.eclipse.milo.opcua.stack.core.types.enumerated.BrowseResultMask;
import org.eclipse.milo.opcua.stack.core.types.enumerated.NodeClass;
import org.eclipse.milo.opcua.stack.core.types.enumerated.TimestampsToReturn;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseDescription;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowsePath;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowsePathResult;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowsePathTarget;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseResult;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadValueId;
import org.eclipse.milo.opcua.stack.core.types.structured.ReferenceDescription;
import org.eclipse.milo.opcua.stack.core.types.structured.RelativePath;
import org.eclipse.milo.opcua.stack.core.types.structured.RelativePathElement;
import org.eclipse.milo.opcua.stack.core.types.structured.TranslateBrowsePathsToNodeIdsRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.TranslateBrowsePathsToNodeIdsResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.ViewDescription;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.OpcUaLinkConfig;

/**
 * Finds the device's nodes on the server, anew in every session.
 *
 * <p>A name that the configuration maps is taken as mapped and must be there. Every other name is
 * looked for under {@code Objects/Positioner} in the configured namespace; there an optional one
 * may be missing. Whatever was found is checked to be a variable or a method, so that a wrong
 * mapping is named before anything is sent.
 */
final class NodeResolver {

  /** The object that holds everything, by its browse name in the device contract. */
  static final String OBJECT = "Positioner";

  /** The method that takes a target. */
  static final String METHOD = "MoveAbsolute";

  /** The variables that show a prompt, in the order they are written. */
  static final List<String> PROMPTS =
      List.of("PromptText", "PromptMaterial", "PromptLength", "PromptLabel", "PromptKind");

  private final DeviceSession session;
  private final OpcUaLinkConfig config;

  private NodeResolver(DeviceSession session, OpcUaLinkConfig config) {
    this.session = session;
    this.config = config;
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
    Map<String, NodeId> found = mapped();
    found.putAll(browsed(found));
    Map<Signal, NodeId> signals = new EnumMap<>(Signal.class);
    for (Signal signal : Signal.values()) {
      NodeId node = found.get(signal.contractName());
      if (node != null) {
        signals.put(signal, node);
      } else if (signal.required()) {
        throw missing(signal.contractName());
      }
    }
    NodeId method = found.get(METHOD);
    if (method == null) {
      throw missing(METHOD);
    }
    Map<String, NodeId> prompts = new LinkedHashMap<>();
    for (String name : PROMPTS) {
      NodeId node = found.get(name);
      if (node != null) {
        prompts.put(name, node);
      }
    }
    check(signals, prompts, method);
    NodeId owner = config.nodes().containsKey(METHOD) ? owner(method) : found.get(OBJECT);
    return new NodeMap(signals, prompts, owner == null ? owner(method) : owner, method);
  }

  private Map<String, NodeId> mapped() throws LinkFault {
    Map<String, NodeId> found = new LinkedHashMap<>();
    for (Map.Entry<String, String> entry : config.nodes().entrySet()) {
      found.put(entry.getKey(), parse(entry.getKey(), entry.getValue()));
    }
    return found;
  }

  private NodeId parse(String name, String text) throws LinkFault {
    ExpandedNodeId node;
    try {
      node = ExpandedNodeId.parse(text);
    } catch (UaRuntimeException | IllegalArgumentException e) {
      throw new LinkFault(
          "signal " + name + ": \"" + text + "\" is no NodeId; expected e.g. nsu=urn:x;s=" + name,
          e);
    }
    return node.toNodeId(session.namespaces())
        .orElseThrow(
            () ->
                new LinkFault(
                    "signal " + name + ": " + session.url() + " has no namespace of " + text));
  }

  private Map<String, NodeId> browsed(Map<String, NodeId> known)
      throws LinkFault, InterruptedException {
    List<String> names = new ArrayList<>();
    for (Signal signal : Signal.values()) {
      names.add(signal.contractName());
    }
    names.addAll(PROMPTS);
    names.add(METHOD);
    names.removeAll(known.keySet());
    UShort namespace = session.namespaces().getIndex(config.namespace());
    if (namespace == null) {
      if (names.stream().anyMatch(NodeResolver::isRequired)) {
        throw new LinkFault(
            session.url()
                + " has no namespace "
                + config.namespace()
                + "; check the endpoint, or map every signal under link.opcua.nodes");
      }
      return Map.of();
    }
    names.add(OBJECT);
    return browse(names, namespace);
  }

  private static boolean isRequired(String name) {
    if (name.equals(METHOD)) {
      return true;
    }
    for (Signal signal : Signal.values()) {
      if (signal.contractName().equals(name)) {
        return signal.required();
      }
    }
    return false;
  }

  private Map<String, NodeId> browse(List<String> names, UShort namespace)
      throws LinkFault, InterruptedException {
    BrowsePath[] paths =
        names.stream()
            .map(
                name ->
                    new BrowsePath(
                        NodeIds.ObjectsFolder,
                        new RelativePath(
                            name.equals(OBJECT)
                                ? new RelativePathElement[] {step(namespace, OBJECT)}
                                : new RelativePathElement[] {
                                  step(namespace, OBJECT), step(namespace, name)
                                })))
            .toArray(BrowsePath[]::new);
    BrowsePathResult[] results =
        session
            .ask(
                TranslateBrowsePathsToNodeIdsResponse.class,
                header -> new TranslateBrowsePathsToNodeIdsRequest(header, paths))
            .getResults();
    Map<String, NodeId> found = new LinkedHashMap<>();
    for (int i = 0; results != null && i < results.length && i < names.size(); i++) {
      NodeId node = target(results[i]);
      if (node != null) {
        found.put(names.get(i), node);
      }
    }
    return found;
  }

  private static RelativePathElement step(UShort namespace, String name) {
    return new RelativePathElement(
        NodeIds.HierarchicalReferences, false, true, new QualifiedName(namespace, name));
  }

  private @Nullable NodeId target(BrowsePathResult result) {
    BrowsePathTarget[] targets = result.getTargets();
    if (!result.getStatusCode().isGood() || targets == null || targets.length == 0) {
      return null;
    }
    return targets[0].getTargetId().toNodeId(session.namespaces()).orElse(null);
  }

  private LinkFault missing(String name) {
    return new LinkFault(
        "signal "
            + name
            + ": no node Objects/"
            + OBJECT
            + "/"
            + name
            + " in namespace "
            + config.namespace()
            + " at "
            + session.url()
            + "; check the device's program, or map it under link.opcua.nodes");
  }

  private void check(Map<Signal, NodeId> signals, Map<String, NodeId> prompts, NodeId method)
      throws LinkFault, InterruptedException {
    Map<String, NodeId> all = new LinkedHashMap<>();
    signals.forEach((signal, node) -> all.put(signal.contractName(), node));
    all.putAll(prompts);
    all.put(METHOD, method);
    ReadValueId[] ids =
        all.values().stream()
            .map(
                node ->
                    new ReadValueId(
                        node, AttributeId.NodeClass.uid(), null, QualifiedName.NULL_VALUE))
            .toArray(ReadValueId[]::new);
    DataValue[] results =
        session
            .ask(
                ReadResponse.class,
                header -> new ReadRequest(header, 0.0, TimestampsToReturn.Neither, ids))
            .getResults();
    int i = 0;
    for (Map.Entry<String, NodeId> entry : all.entrySet()) {
      NodeClass expected = entry.getKey().equals(METHOD) ? NodeClass.Method : NodeClass.Variable;
      DataValue result = results != null && i < results.length ? results[i] : null;
      i++;
      check(entry.getKey(), entry.getValue(), expected, result);
    }
  }

  private void check(String name, NodeId node, NodeClass expected, @Nullable DataValue result)
      throws LinkFault {
    if (result == null || !result.statusCode().isGood()) {
      String why = result == null ? "no answer" : SnapshotReader.name(result.statusCode());
      throw new LinkFault(
          "signal "
              + name
              + ": node "
              + node.toParseableString()
              + " cannot be read ("
              + why
              + "); check link.opcua.nodes and the device's access rights");
    }
    Object value = result.value().value();
    if (!Integer.valueOf(expected.getValue()).equals(value)) {
      throw new LinkFault(
          "signal "
              + name
              + ": node "
              + node.toParseableString()
              + " is no "
              + expected.name().toLowerCase(Locale.ROOT)
              + "; check link.opcua.nodes");
    }
  }

  /** Returns the object a method belongs to, by the way back from the method. */
  private NodeId owner(NodeId method) throws LinkFault, InterruptedException {
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
