package org.kerftally.protocol.opcua;

import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;

/**
 * Is one signal, point of a handshake, or method that is looked at.
 *
 * @param name its name, as error texts have it
 * @param signal which signal it is, {@code null} for anything else
 * @param point where it is and how it is understood
 * @param node its node, {@code null} where none was found
 * @param fault what is wrong with it whatever its value is, {@code null} for nothing
 */
record ProbePoint(
    String name,
    @Nullable Signal signal,
    PointConfig point,
    @Nullable NodeId node,
    @Nullable String fault) {

  /** Tells whether it holds a value that can be read. */
  boolean hasValue() {
    return node != null && !name.equals(NodeResolver.METHOD);
  }

  /** Returns the name of a handshake's point in the handshake, {@code null} for anything else. */
  @Nullable String moveName() {
    return name.startsWith(NodeResolver.MOVE) ? name.substring(NodeResolver.MOVE.length()) : null;
  }

  ProbePoint withFault(@Nullable String reason) {
    return new ProbePoint(name, signal, point, node, reason);
  }
}
