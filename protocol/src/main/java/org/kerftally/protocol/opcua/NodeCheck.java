package org.kerftally.protocol.opcua;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.eclipse.milo.opcua.stack.core.AttributeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.QualifiedName;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UByte;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UInteger;
import org.eclipse.milo.opcua.stack.core.types.enumerated.NodeClass;
import org.eclipse.milo.opcua.stack.core.types.enumerated.TimestampsToReturn;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadValueId;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;

/**
 * Checks that what was found on a server is what it has to be: a variable or a method, of the type
 * the map says, writable where it is written. Reads attributes only.
 */
final class NodeCheck {

  /** Bits of the attribute UserAccessLevel: OPC UA part 3, 8.57. */
  private static final int CURRENT_WRITE = 2;

  private final DeviceSession session;
  private final OpcUaLinkConfig config;
  private final NodeMap nodes;

  /** One attribute of one node. */
  private record Question(NodeId node, AttributeId attribute) {}

  private NodeCheck(DeviceSession session, OpcUaLinkConfig config, NodeMap nodes) {
    this.session = session;
    this.config = config;
    this.nodes = nodes;
  }

  /**
   * Returns the nodes with the types of those that are written.
   *
   * @throws LinkFault naming the first that is wrong
   */
  static NodeMap check(DeviceSession session, OpcUaLinkConfig config, NodeMap nodes)
      throws LinkFault, InterruptedException {
    return new NodeCheck(session, config, nodes).check();
  }

  /** Returns the key in the configuration that maps a name. */
  static String key(OpcUaLinkConfig config, String name) {
    if (name.startsWith(NodeResolver.MOVE)) {
      return "link.opcua." + name;
    }
    Signal signal = Signal.named(name);
    boolean isMapped = signal != null && config.wiring().signals().containsKey(signal);
    return isMapped ? "link.opcua.signals." + name : "link.opcua.nodes";
  }

  private NodeMap check() throws LinkFault, InterruptedException {
    Map<String, NodeId> all = new LinkedHashMap<>();
    nodes.signals().forEach((signal, node) -> all.put(signal.contractName(), node));
    all.putAll(nodes.prompts());
    if (nodes.moveAbsolute() != null) {
      all.put(NodeResolver.METHOD, nodes.moveAbsolute());
    }
    nodes.points().forEach((name, node) -> all.put(NodeResolver.MOVE + name, node));
    List<NodeId> ids = List.copyOf(all.values());
    DataValue[] classes = ask(ids, AttributeId.NodeClass);
    int i = 0;
    for (Map.Entry<String, NodeId> entry : all.entrySet()) {
      boolean isMethod = entry.getKey().equals(NodeResolver.METHOD);
      NodeClass expected = isMethod ? NodeClass.Method : NodeClass.Variable;
      DataValue result = i < classes.length ? classes[i] : null;
      i++;
      checkClass(entry.getKey(), entry.getValue(), expected, result);
    }
    checkTypes();
    return nodes.withTypes(written());
  }

  private void checkClass(String name, NodeId node, NodeClass expected, @Nullable DataValue result)
      throws LinkFault {
    String at = "signal " + name + ": node " + node.toParseableString();
    if (result == null || !result.statusCode().isGood()) {
      String why = result == null ? "no answer" : SnapshotReader.name(result.statusCode());
      throw new LinkFault(
          at
              + " cannot be read ("
              + why
              + "); check "
              + key(config, name)
              + " and the device's access rights");
    }
    if (!Integer.valueOf(expected.getValue()).equals(result.value().value())) {
      throw new LinkFault(
          at
              + " is no "
              + expected.name().toLowerCase(Locale.ROOT)
              + "; check "
              + key(config, name));
    }
  }

  /** The type of each signal whose point says one. */
  private void checkTypes() throws LinkFault, InterruptedException {
    for (Map.Entry<Signal, PointConfig> entry : config.wiring().signals().entrySet()) {
      String wanted = entry.getValue().type();
      NodeId node = nodes.signals().get(entry.getKey());
      if (wanted != null && node != null) {
        String name = entry.getKey().contractName();
        PlainType type = typeOf(node);
        if (type != null && !type.word().equals(wanted)) {
          throw wrongType(name, node, type, wanted);
        }
      }
    }
  }

  private LinkFault wrongType(String name, NodeId node, PlainType type, String wanted) {
    return new LinkFault(
        "signal "
            + name
            + ": node "
            + node.toParseableString()
            + " is of type "
            + type.word()
            + ", the map says "
            + wanted
            + "; write `type: "
            + type.word()
            + "` at "
            + key(config, name)
            + ", or map the node that was meant");
  }

  private Map<String, PlainType> written() throws LinkFault, InterruptedException {
    Map<String, PlainType> types = new LinkedHashMap<>();
    for (String name : MoveConfig.WRITTEN) {
      NodeId node = nodes.points().get(name);
      PointConfig point = config.wiring().move().pointOrNull(name);
      if (node != null && point != null) {
        types.put(name, writtenType(NodeResolver.MOVE + name, node, point));
      }
    }
    return types;
  }

  private PlainType writtenType(String name, NodeId node, PointConfig point)
      throws LinkFault, InterruptedException {
    DataValue access = ask(List.of(node), AttributeId.UserAccessLevel)[0];
    Object level = access.value().value();
    if (level instanceof UByte bits && (bits.intValue() & CURRENT_WRITE) == 0) {
      throw new LinkFault(
          "signal "
              + name
              + ": node "
              + node.toParseableString()
              + " may not be written by this user; give link.opcua.identity the right to, or check "
              + key(config, name));
    }
    PlainType type = typeOf(node);
    PlainType said = point.type() == null ? null : PlainType.named(point.type());
    if (type == null && said == null) {
      throw new LinkFault(
          "signal "
              + name
              + ": node "
              + node.toParseableString()
              + " does not say a plain type; write its `type` at "
              + key(config, name));
    }
    if (type != null && said != null && type != said) {
      throw wrongType(name, node, type, said.word());
    }
    PlainType known = type == null ? said : type;
    boolean isNumber = name.endsWith("position") || name.endsWith("sequence");
    if (known == null || (isNumber && !known.isNumber())) {
      throw new LinkFault(
          "signal "
              + name
              + ": node "
              + node.toParseableString()
              + " is of type "
              + (known == null ? "none" : known.word())
              + ", expected a number; check "
              + key(config, name));
    }
    return known;
  }

  /** The type of the value it holds; of a node that holds none, the type it is declared to have. */
  private @Nullable PlainType typeOf(NodeId node) throws LinkFault, InterruptedException {
    DataValue value = ask(List.of(node), AttributeId.Value)[0];
    if (value.statusCode().isGood() && value.value().isNotNull()) {
      return value
          .value()
          .getDataTypeId()
          .flatMap(id -> id.toNodeId(session.namespaces()))
          .map(NodeCheck::plain)
          .orElse(null);
    }
    Object declared = ask(List.of(node), AttributeId.DataType)[0].value().value();
    return declared instanceof NodeId id ? plain(id) : null;
  }

  private static @Nullable PlainType plain(NodeId type) {
    boolean isStandard = type.getNamespaceIndex().intValue() == 0;
    return isStandard && type.getIdentifier() instanceof UInteger id
        ? PlainType.of(id.intValue())
        : null;
  }

  private DataValue[] ask(List<NodeId> ids, AttributeId attribute)
      throws LinkFault, InterruptedException {
    List<Question> questions = new ArrayList<>();
    ids.forEach(id -> questions.add(new Question(id, attribute)));
    ReadValueId[] wanted =
        questions.stream()
            .map(
                q -> new ReadValueId(q.node(), q.attribute().uid(), null, QualifiedName.NULL_VALUE))
            .toArray(ReadValueId[]::new);
    DataValue[] results =
        session
            .ask(
                ReadResponse.class,
                header -> new ReadRequest(header, 0.0, TimestampsToReturn.Neither, wanted))
            .getResults();
    if (results == null || results.length != wanted.length) {
      throw new LinkFault(session.url() + " answered a Read with another number of values");
    }
    return results;
  }
}
