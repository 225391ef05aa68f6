package org.kerftally.protocol.plc;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import java.util.function.LongSupplier;
import org.eclipse.milo.opcua.sdk.core.AccessLevel;
import org.eclipse.milo.opcua.sdk.core.Reference;
import org.eclipse.milo.opcua.sdk.core.ValueRanks;
import org.eclipse.milo.opcua.sdk.server.ManagedNamespaceWithLifecycle;
import org.eclipse.milo.opcua.sdk.server.OpcUaServer;
import org.eclipse.milo.opcua.sdk.server.items.DataItem;
import org.eclipse.milo.opcua.sdk.server.items.MonitoredItem;
import org.eclipse.milo.opcua.sdk.server.nodes.UaObjectNode;
import org.eclipse.milo.opcua.sdk.server.nodes.UaVariableNode;
import org.eclipse.milo.opcua.sdk.server.util.SubscriptionModel;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UInteger;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteValue;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.sim.SimDevice;

/**
 * Lays a controller's inputs and outputs out as nodes, and scans its program a hundred times a
 * second.
 */
public final class PlcNamespace extends ManagedNamespaceWithLifecycle
    implements AutoCloseable, PlcProgram.Inputs {

  private static final String URI = "urn:example:plc";
  private static final String OBJECT = "Plc";
  private static final long SCAN_MILLIS = 10;
  private static final long END_MILLIS = 10_000;

  private static final Map<String, NodeId> TYPES = new LinkedHashMap<>();

  static {
    TYPES.put("position", NodeIds.Double);
    TYPES.put("strobe", NodeIds.Boolean);
    TYPES.put("echo", NodeIds.Boolean);
    TYPES.put("sequence", NodeIds.UInt32);
    TYPES.put("execute", NodeIds.Boolean);
    TYPES.put("busy", NodeIds.Boolean);
    TYPES.put("done", NodeIds.Boolean);
    TYPES.put("command-aborted", NodeIds.Boolean);
    TYPES.put("error", NodeIds.Int32);
    TYPES.put("error-id", NodeIds.Int32);
  }

  private final Map<String, UaVariableNode> nodes = new LinkedHashMap<>();
  private final SubscriptionModel sampling;
  private final PlcProgram program;
  private final ExecutorService scanner =
      Executors.newSingleThreadExecutor(
          task -> {
            Thread thread = new Thread(task, "plc");
            thread.setDaemon(true);
            return thread;
          });

  private final LongSupplier writingMillis;

  private PlcNamespace(
      OpcUaServer server, SimDevice device, MoveConfig move, LongSupplier writingMillis) {
    super(server, URI);
    this.writingMillis = writingMillis;
    program = new PlcProgram(device, move.how(), move.toggle());
    sampling = new SubscriptionModel(server, this);
    getLifecycleManager().addLifecycle(sampling);
    getLifecycleManager().addStartupTask(this::build);
  }

  /** Starts a controller that keeps a handshake, on a server. */
  public static AutoCloseable on(OpcUaServer server, SimDevice device, MoveConfig move) {
    return on(server, device, move, () -> 0);
  }

  /** Starts a controller that takes so long for each write before it answers. */
  public static AutoCloseable on(
      OpcUaServer server, SimDevice device, MoveConfig move, LongSupplier writingMillis) {
    PlcNamespace plc = new PlcNamespace(server, device, move, writingMillis);
    plc.startup();
    plc.scanner.execute(plc::scanOn);
    return plc;
  }

  /** Returns how a target is handed to such a controller. */
  public static MoveConfig move(MoveConfig.How how, boolean toggle) {
    Map<String, PointConfig> points = new LinkedHashMap<>();
    for (List<String> names : List.of(how.required(), how.optional())) {
      names.forEach(
          name ->
              points.put(
                  name, PointConfig.plain(new Place.BrowsePath(URI, List.of(OBJECT, name)))));
    }
    return new MoveConfig(how, points, toggle);
  }

  private void build() {
    UaObjectNode object =
        UaObjectNode.build(
            getNodeContext(),
            builder ->
                builder
                    .setNodeId(newNodeId(OBJECT))
                    .setBrowseName(newQualifiedName(OBJECT))
                    .setDisplayName(LocalizedText.english(OBJECT))
                    .setTypeDefinition(NodeIds.BaseObjectType)
                    .build());
    getNodeManager().addNode(object);
    object.addReference(
        new Reference(
            object.getNodeId(), NodeIds.Organizes, NodeIds.ObjectsFolder.expanded(), false));
    TYPES.forEach((name, type) -> object.addComponent(variable(name, type)));
  }

  private UaVariableNode variable(String name, NodeId type) {
    boolean isInput = MoveConfig.WRITTEN.contains(name);
    UaVariableNode node =
        UaVariableNode.build(
            getNodeContext(),
            builder ->
                builder
                    .setNodeId(newNodeId(OBJECT + "." + name))
                    .setBrowseName(newQualifiedName(name))
                    .setDisplayName(LocalizedText.english(name))
                    .setDataType(type)
                    .setValueRank(ValueRanks.Scalar)
                    .setTypeDefinition(NodeIds.BaseDataVariableType)
                    .setAccessLevel(isInput ? AccessLevel.READ_WRITE : AccessLevel.READ_ONLY)
                    .setUserAccessLevel(isInput ? AccessLevel.READ_WRITE : AccessLevel.READ_ONLY)
                    .setMinimumSamplingInterval((double) SCAN_MILLIS)
                    .build());
    node.setValue(DataValue.valueOnly(value(type, 0)));
    getNodeManager().addNode(node);
    nodes.put(name, node);
    return node;
  }

  private static Variant value(NodeId type, Object value) {
    if (type.equals(NodeIds.Boolean)) {
      return Variant.ofBoolean(Boolean.TRUE.equals(value));
    }
    long number = value instanceof Number n ? n.longValue() : Boolean.TRUE.equals(value) ? 1 : 0;
    if (type.equals(NodeIds.Double)) {
      return Variant.ofDouble((double) number);
    }
    return type.equals(NodeIds.UInt32)
        ? Variant.ofUInt32(uint(number))
        : Variant.ofInt32((int) number);
  }

  /** Scans until the scanner is shut down; a fault of the program ends it, and the test with it. */
  private void scanOn() {
    try {
      while (!scanner.isShutdown()) {
        scan();
        TimeUnit.MILLISECONDS.sleep(SCAN_MILLIS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void scan() {
    program
        .scan(this)
        .forEach(
            (name, output) -> {
              UaVariableNode node = nodes.get(name);
              Variant value = value(TYPES.get(name), output);
              if (!value.equals(node.getValue().value())) {
                node.setValue(DataValue.valueOnly(value));
              }
            });
  }

  private @Nullable Object read(String name) {
    return nodes.get(name).getValue().value().value();
  }

  @Override
  public boolean bit(String name) {
    return Boolean.TRUE.equals(read(name));
  }

  @Override
  public long number(String name) {
    return read(name) instanceof UInteger number ? number.longValue() : 0;
  }

  @Override
  public double millimetres(String name) {
    return read(name) instanceof Double mm ? mm : Double.NaN;
  }

  @Override
  public List<StatusCode> write(WriteContext context, List<WriteValue> values) {
    try {
      TimeUnit.MILLISECONDS.sleep(writingMillis.getAsLong());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    return super.write(context, values);
  }

  @Override
  public void close() throws InterruptedException {
    scanner.shutdown();
    scanner.awaitTermination(END_MILLIS, TimeUnit.MILLISECONDS);
    shutdown();
  }

  @Override
  public void onDataItemsCreated(List<DataItem> items) {
    sampling.onDataItemsCreated(items);
  }

  @Override
  public void onDataItemsModified(List<DataItem> items) {
    sampling.onDataItemsModified(items);
  }

  @Override
  public void onDataItemsDeleted(List<DataItem> items) {
    sampling.onDataItemsDeleted(items);
  }

  @Override
  public void onMonitoringModeChanged(List<MonitoredItem> items) {
    sampling.onMonitoringModeChanged(items);
  }
}
