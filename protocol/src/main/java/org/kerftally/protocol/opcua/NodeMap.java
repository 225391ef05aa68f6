package org.kerftally.protocol.opcua;

import java.util.Map;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.Signal;

/**
 * Holds where everything is on the server for the length of one session: namespace indexes may be
 * others after the next restart.
 *
 * @param signals the variables that are there, all required ones among them
 * @param prompts the variables that show a prompt, by contract name; may be empty
 * @param owner the object the method belongs to, {@code null} for a device without the method
 * @param moveAbsolute the method, {@code null} for a device without
 * @param points the variables of the handshake, by its own names; empty for the contract's method
 * @param types the data type of each point that is written
 */
record NodeMap(
    Map<Signal, NodeId> signals,
    Map<String, NodeId> prompts,
    @Nullable NodeId owner,
    @Nullable NodeId moveAbsolute,
    Map<String, NodeId> points,
    Map<String, PlainType> types) {

  /** Returns the same with the types of what is written. */
  NodeMap withTypes(Map<String, PlainType> written) {
    return new NodeMap(signals, prompts, owner, moveAbsolute, points, Map.copyOf(written));
  }
}
