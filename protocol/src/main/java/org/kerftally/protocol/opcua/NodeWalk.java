package org.kerftally.protocol.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.types.builtin.ByteString;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.QualifiedName;
import org.eclipse.milo.opcua.stack.core.types.enumerated.BrowseDirection;
import org.eclipse.milo.opcua.stack.core.types.enumerated.BrowseResultMask;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseDescription;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseNextRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseNextResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowseResult;
import org.eclipse.milo.opcua.stack.core.types.structured.ReferenceDescription;
import org.eclipse.milo.opcua.stack.core.types.structured.ViewDescription;
import org.jspecify.annotations.Nullable;

/**
 * Goes down from the Objects folder name by name, looking at what is there at each step.
 *
 * <p>A server answers for a whole path only where every name's namespace is known beforehand. On a
 * server that follows a companion specification the names of one path are of several: the folder
 * Machines is of OPC 40001-1, what stands in it is the maker's. So a name is taken in the wished
 * namespace where it is there, else in whichever namespace has it, provided that one alone does.
 * The walk also knows how far it got, which says more to whoever mends the path than that it is not
 * there.
 */
final class NodeWalk {

  /** More than anybody puts in one folder; what is beyond is not looked at. */
  private static final int MAX_CHILDREN = 10_000;

  private static final int CHILDREN_AT_ONCE = 1_000;

  /** How many names are told where the walk ends. */
  private static final int MAX_SHOWN = 12;

  private static final int MAX_SHOWN_CHARS = 60;

  private final DeviceSession session;

  NodeWalk(DeviceSession session) {
    this.session = session;
  }

  /**
   * Says where a walk ended.
   *
   * @param node the node, {@code null} where a name was not there
   * @param why how far the walk got and what is there, for a mend; empty where the node was found
   */
  record End(@Nullable NodeId node, String why) {}

  private record Child(QualifiedName name, NodeId node) {}

  /** Walks down the names of a path; {@code namespace} is the index that is looked at first. */
  End walk(List<String> names, int namespace) throws LinkFault, InterruptedException {
    NodeId at = NodeIds.ObjectsFolder;
    for (int depth = 0; depth < names.size(); depth++) {
      String name = names.get(depth);
      List<Child> children = children(at);
      List<Child> named = children.stream().filter(c -> name.equals(c.name().name())).toList();
      List<Child> wished =
          named.stream().filter(c -> c.name().namespaceIndex().intValue() == namespace).toList();
      List<Child> chosen = wished.isEmpty() ? named : wished;
      String place = "Objects" + String.join("", prefixed(names.subList(0, depth)));
      if (chosen.isEmpty()) {
        return new End(null, place + " is there and holds " + shown(children));
      }
      if (chosen.size() > 1 && wished.isEmpty()) {
        return new End(
            null,
            place
                + " holds \""
                + name
                + "\" in several namespaces, "
                + uris(chosen)
                + ", so write which as `namespace` or take the NodeId");
      }
      at = chosen.get(0).node();
    }
    return new End(at, "");
  }

  private static List<String> prefixed(List<String> names) {
    return names.stream().map(name -> "/" + name).toList();
  }

  /** The device's own names first: those of the standard are on every server. */
  private static String shown(List<Child> children) {
    List<String> names =
        children.stream()
            .map(Child::name)
            .sorted(
                Comparator.comparing((QualifiedName name) -> name.namespaceIndex().intValue() == 0)
                    .thenComparing(name -> String.valueOf(name.name())))
            .map(name -> cut(String.valueOf(name.name())))
            .distinct()
            .toList();
    if (names.isEmpty()) {
      return "nothing";
    }
    String some = String.join(", ", names.subList(0, Math.min(MAX_SHOWN, names.size())));
    return names.size() > MAX_SHOWN ? some + " and " + (names.size() - MAX_SHOWN) + " more" : some;
  }

  /** A server may name its nodes as it likes, and what is shown goes to a terminal. */
  private static String cut(String name) {
    StringBuilder plain = new StringBuilder();
    name.chars()
        .limit(MAX_SHOWN_CHARS)
        .forEach(c -> plain.append(Character.isISOControl(c) ? '\uFFFD' : (char) c));
    return plain.toString();
  }

  private String uris(List<Child> children) {
    return children.stream()
        .map(c -> String.valueOf(session.namespaces().get(c.name().namespaceIndex())))
        .distinct()
        .reduce((a, b) -> a + " and " + b)
        .orElse("");
  }

  private List<Child> children(NodeId parent) throws LinkFault, InterruptedException {
    List<Child> children = new ArrayList<>();
    BrowseDescription down =
        new BrowseDescription(
            parent,
            BrowseDirection.Forward,
            NodeIds.HierarchicalReferences,
            true,
            uint(0),
            uint(BrowseResultMask.BrowseName.getValue()));
    BrowseResult result =
        first(
            session
                .ask(
                    BrowseResponse.class,
                    header ->
                        new BrowseRequest(
                            header,
                            new ViewDescription(NodeId.NULL_VALUE, null, uint(0)),
                            uint(CHILDREN_AT_ONCE),
                            new BrowseDescription[] {down}))
                .getResults());
    while (result != null) {
      add(result, children);
      ByteString more = result.getContinuationPoint();
      if (more == null || more.isNullOrEmpty()) {
        return children;
      }
      // The last request of all gives the place in the list back (OPC 10000-4, 5.9.3).
      boolean isEnough = children.size() >= MAX_CHILDREN;
      result =
          first(
              session
                  .ask(
                      BrowseNextResponse.class,
                      header -> new BrowseNextRequest(header, isEnough, new ByteString[] {more}))
                  .getResults());
      if (isEnough) {
        return children;
      }
    }
    return children;
  }

  private static @Nullable BrowseResult first(BrowseResult @Nullable [] results) {
    return results == null || results.length == 0 ? null : results[0];
  }

  private void add(BrowseResult result, List<Child> children) {
    ReferenceDescription[] references = result.getReferences();
    if (references == null) {
      return;
    }
    for (ReferenceDescription reference : references) {
      NodeId node = reference.getNodeId().toNodeId(session.namespaces()).orElse(null);
      QualifiedName name = reference.getBrowseName();
      if (node != null && name != null && children.size() < MAX_CHILDREN) {
        children.add(new Child(name, node));
      }
    }
  }
}
