package org.kerftally.daemon.peers;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Consumer;
import org.eclipse.milo.opcua.sdk.client.OpcUaClient;
import org.eclipse.milo.opcua.sdk.client.OpcUaClientConfigBuilder;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.ExpandedNodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.ExtensionObject;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.QualifiedName;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.enumerated.TimestampsToReturn;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowsePath;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowsePathResult;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowsePathTarget;
import org.eclipse.milo.opcua.stack.core.types.structured.EUInformation;
import org.eclipse.milo.opcua.stack.core.types.structured.RelativePath;
import org.eclipse.milo.opcua.stack.core.types.structured.RelativePathElement;

/** Reads and writes single nodes of a device, with nothing of the project in between. */
final class UaClient implements AutoCloseable {

  private static final long TIMEOUT_MS = 10_000;

  private final OpcUaClient client;

  private UaClient(OpcUaClient client) {
    this.client = client;
  }

  static UaClient open(String endpoint) throws UaException {
    return open(endpoint, config -> {});
  }

  /** Opens a session at the first endpoint offered; {@code secure} completes the configuration. */
  static UaClient open(String endpoint, Consumer<OpcUaClientConfigBuilder> secure)
      throws UaException {
    OpcUaClient client =
        OpcUaClient.create(
            endpoint,
            offered -> offered.isEmpty() ? Optional.empty() : Optional.of(offered.get(0)),
            transport -> {},
            config -> secure.accept(config.setRequestTimeout(uint(TIMEOUT_MS))));
    return new UaClient(client.connect());
  }

  /** Returns the node of a text like {@code nsu=urn:x;s=y}. */
  private NodeId node(String text) {
    return ExpandedNodeId.parse(text).toNodeId(client.getNamespaceTable()).orElseThrow();
  }

  /** Returns the index that a namespace has in this session. */
  int namespace(String uri) {
    return client.getNamespaceTable().getIndex(uri).intValue();
  }

  /** Returns a node's value, or what was bad about it. */
  Object read(String node) throws UaException {
    DataValue value = client.readValue(0, TimestampsToReturn.Neither, node(node));
    Object held = value.getValue().getValue();
    return held == null ? value.getStatusCode() : held;
  }

  /** Returns the UNECE unit id that an analogue variable names. */
  int unitOf(String node) throws UaException {
    RelativePathElement units =
        new RelativePathElement(
            NodeIds.HasProperty, false, true, new QualifiedName(0, "EngineeringUnits"));
    RelativePath path = new RelativePath(new RelativePathElement[] {units});
    BrowsePathResult[] found =
        Objects.requireNonNull(
            client.translateBrowsePaths(List.of(new BrowsePath(node(node), path))).getResults());
    BrowsePathTarget[] targets = Objects.requireNonNull(found[0].getTargets());
    ExtensionObject value = (ExtensionObject) read(targets[0].getTargetId().toParseableString());
    return ((EUInformation) value.decode(client.getStaticEncodingContext())).getUnitId();
  }

  StatusCode write(String node, Variant value) throws UaException {
    return client.writeValues(List.of(node(node)), List.of(DataValue.valueOnly(value))).get(0);
  }

  @Override
  public void close() throws UaException {
    client.disconnect();
  }
}
