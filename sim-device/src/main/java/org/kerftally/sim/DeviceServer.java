package org.kerftally.sim;

/**
 * Serves a {@link SimDevice} over one protocol. Serving starts when the object is made and ends
 * with {@link #close()}, which is bounded and may be called twice. The device outlives its servers.
 */
public interface DeviceServer extends AutoCloseable {

  /** Returns where a client finds the device: an endpoint URL, or a broker URL with its topics. */
  String address();

  @Override
  void close();
}
