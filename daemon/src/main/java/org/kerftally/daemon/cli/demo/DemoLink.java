package org.kerftally.daemon.cli.demo;

/** Names how the demo's service and device talk. */
enum DemoLink {
  OPCUA,
  MQTT
}
