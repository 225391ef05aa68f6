package org.kerftally.protocol.opcua;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.UaRuntimeException;
import org.eclipse.milo.opcua.stack.core.types.builtin.ExpandedNodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.QualifiedName;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UShort;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowsePath;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowsePathResult;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowsePathTarget;
import org.eclipse.milo.opcua.stack.core.types.structured.RelativePath;
import org.eclipse.milo.opcua.stack.core.types.structured.RelativePathElement;
import org.eclipse.milo.opcua.stack.core.types.structured.TranslateBrowsePathsToNodeIdsRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.TranslateBrowsePathsToNodeIdsResponse;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.Place;

/** Finds nodes on one server, for one session: namespace indexes may be others in the next. */
final class NodeFinder {

  /** How many namespaces are listed for a mend. */
  private static final int MAX_SHOWN = 12;

  private final DeviceSession session;
  private final String namespace;

  /**
   * Makes a finder.
   *
   * @param namespace the URI of the namespace of names that say none
   */
  NodeFinder(DeviceSession session, String namespace) {
    this.session = session;
    this.namespace = namespace;
  }

  /** Returns the node a NodeId text names; nobody has looked whether it is there. */
  NodeId parse(String name, String text) throws LinkFault {
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
                    "signal "
                        + name
                        + ": "
                        + session.url()
                        + " has no namespace of "
                        + text
                        + "; "
                        + known()));
  }

  /** Returns the namespaces the server has, for a mend. */
  String known() {
    List<String> uris = new ArrayList<>();
    String[] all = session.namespaces().toArray();
    for (int i = 1; i < all.length && i < MAX_SHOWN; i++) {
      uris.add(all[i]);
    }
    return "it has " + String.join(", ", uris);
  }

  /**
   * Returns the node of each place that is there.
   *
   * @throws LinkFault when a NodeId is none, or a namespace is not there
   */
  Map<String, NodeId> find(Map<String, Place> places) throws LinkFault, InterruptedException {
    Map<String, NodeId> found = new LinkedHashMap<>();
    Map<String, Place.BrowsePath> paths = new LinkedHashMap<>();
    for (Map.Entry<String, Place> entry : places.entrySet()) {
      if (entry.getValue() instanceof Place.Node node) {
        found.put(entry.getKey(), parse(entry.getKey(), node.id()));
      } else if (entry.getValue() instanceof Place.BrowsePath path) {
        paths.put(entry.getKey(), path);
      }
    }
    if (!paths.isEmpty()) {
      found.putAll(browse(paths));
    }
    return found;
  }

  private Map<String, NodeId> browse(Map<String, Place.BrowsePath> wanted)
      throws LinkFault, InterruptedException {
    List<String> names = List.copyOf(wanted.keySet());
    BrowsePath[] paths = new BrowsePath[names.size()];
    int next = 0;
    for (Map.Entry<String, Place.BrowsePath> entry : wanted.entrySet()) {
      paths[next++] = path(entry.getKey(), entry.getValue());
    }
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

  /**
   * Goes down the path of something mapped that {@link #find} did not find, see {@link NodeWalk}.
   *
   * @return where the walk ended
   */
  NodeWalk.End walk(String name, Place.BrowsePath path) throws LinkFault, InterruptedException {
    return new NodeWalk(session).walk(path.names(), index(name, path).intValue());
  }

  private BrowsePath path(String name, Place.BrowsePath path) throws LinkFault {
    UShort index = index(name, path);
    RelativePathElement[] steps =
        path.names().stream().map(step -> step(index, step)).toArray(RelativePathElement[]::new);
    return new BrowsePath(NodeIds.ObjectsFolder, new RelativePath(steps));
  }

  private UShort index(String name, Place.BrowsePath path) throws LinkFault {
    String uri = path.namespace() == null ? namespace : path.namespace();
    UShort index = session.namespaces().getIndex(uri);
    if (index == null) {
      throw new LinkFault(
          "signal "
              + name
              + ": "
              + session.url()
              + " has no namespace "
              + uri
              + "; check the endpoint and `namespace`: "
              + known());
    }
    return index;
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
}
