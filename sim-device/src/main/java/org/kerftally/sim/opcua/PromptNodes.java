package org.kerftally.sim.opcua;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.eclipse.milo.opcua.sdk.server.nodes.UaVariableNode;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.length.Length;

/** Holds the variables a client writes a prompt into, and reads the prompt off them. */
final class PromptNodes {

  /** Their browse names. */
  static final List<String> NAMES =
      List.of("PromptKind", "PromptText", "PromptMaterial", "PromptLength", "PromptLabel");

  /** The longest text a panel shows, in characters. */
  private static final int MAX_TEXT_CHARS = 500;

  /** The longest stick a prompt can name, in millimetres. */
  private static final double MAX_LENGTH_MM = 1e6;

  private final Map<String, UaVariableNode> nodes = new LinkedHashMap<>();

  /** Returns the data type of a prompt's variable. */
  static NodeId typeOf(String name) {
    return name.equals("PromptLength") ? NodeIds.Double : NodeIds.String;
  }

  /** Takes a variable in, with nothing to show. */
  void add(String name, UaVariableNode node) {
    Variant blank =
        typeOf(name).equals(NodeIds.Double) ? Variant.ofDouble(Double.NaN) : Variant.ofString("");
    node.setValue(new DataValue(blank));
    nodes.put(name, node);
  }

  /** Tells whether a node is one of them. */
  boolean contains(NodeId id) {
    return nodes.values().stream().anyMatch(node -> node.getNodeId().equals(id));
  }

  /** Returns the prompt they hold, nothing when the kind is none of the contract's. */
  Optional<Prompt> read() {
    String name = text("PromptKind");
    for (Prompt.Kind kind : Prompt.Kind.values()) {
      if (kind.name().equals(name)) {
        return Optional.of(
            new Prompt(
                kind,
                text("PromptText"),
                emptyToNull(text("PromptMaterial")),
                length(),
                emptyToNull(text("PromptLabel"))));
      }
    }
    return Optional.empty();
  }

  private String text(String name) {
    String text = value(name) instanceof String words ? words : "";
    return text.length() > MAX_TEXT_CHARS ? text.substring(0, MAX_TEXT_CHARS) : text;
  }

  private @Nullable Length length() {
    return value("PromptLength") instanceof Double mm && mm > 0 && mm <= MAX_LENGTH_MM
        ? Length.ofReadingMm(mm)
        : null;
  }

  private @Nullable Object value(String name) {
    UaVariableNode node = nodes.get(name);
    return node == null ? null : node.getValue().value().value();
  }

  private static @Nullable String emptyToNull(String text) {
    return text.isEmpty() ? null : text;
  }
}
