package org.kerftally.sim.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import org.eclipse.milo.opcua.sdk.server.OpcUaServerConfigLimits;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UInteger;

/** Bounds what clients can ask of the simulated device, as a small controller would. */
final class SimLimits implements OpcUaServerConfigLimits {

  /** The fastest sampling, in milliseconds; at zero the server would sample without a pause. */
  static final double SAMPLING_FLOOR_MILLIS = 10;

  private static final UInteger SESSIONS = uint(16);
  private static final UInteger SUBSCRIPTIONS = uint(32);
  private static final UInteger ITEMS = uint(2_000);
  private static final UInteger NODES = uint(200);

  @Override
  public Double getMinSupportedSampleRate() {
    return SAMPLING_FLOOR_MILLIS;
  }

  @Override
  public UInteger getMaxSessions() {
    return SESSIONS;
  }

  @Override
  public UInteger getMaxSubscriptions() {
    return SUBSCRIPTIONS;
  }

  @Override
  public UInteger getMaxMonitoredItems() {
    return ITEMS;
  }

  @Override
  public UInteger getMaxNodesPerRead() {
    return NODES;
  }

  @Override
  public UInteger getMaxNodesPerWrite() {
    return NODES;
  }
}
