package org.kerftally.protocol.opcua;

import java.util.Map;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;

/**
 * Holds where everything is on the server for the length of one session: namespace indexes may be
 * others after the next restart.
 *
 * @param signals the variables that are there, all required ones among them
 * @param prompts the variables that show a prompt, by contract name; may be empty
 * @param owner the object the method belongs to
 * @param moveAbsolute the method
 */
record NodeMap(
    Map<Signal, NodeId> signals, Map<String, NodeId> prompts, NodeId owner, NodeId moveAbsolute) {}
