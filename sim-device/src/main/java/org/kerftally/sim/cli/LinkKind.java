package org.kerftally.sim.cli;

/** Names the protocols the device can be served over, as they are written on the command line. */
enum LinkKind {
  /** OPC UA. */
  OPCUA,
  /** MQTT 5. */
  MQTT;

  @Override
  public String toString() {
    return name().toLowerCase(java.util.Locale.ROOT);
  }
}
