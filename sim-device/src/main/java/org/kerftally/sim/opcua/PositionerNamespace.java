package org.kerftally.sim.opcua;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Consumer;
import org.eclipse.milo.opcua.sdk.core.AccessLevel;
import org.eclipse.milo.opcua.sdk.core.QualifiedProperty;
import org.eclipse.milo.opcua.sdk.core.Reference;
import org.eclipse.milo.opcua.sdk.core.ValueRanks;
import org.eclipse.milo.opcua.sdk.server.ManagedNamespaceWithLifecycle;
import org.eclipse.milo.opcua.sdk.server.OpcUaServer;
import org.eclipse.milo.opcua.sdk.server.items.DataItem;
import org.eclipse.milo.opcua.sdk.server.items.MonitoredItem;
import org.eclipse.milo.opcua.sdk.server.nodes.UaMethodNode;
import org.eclipse.milo.opcua.sdk.server.nodes.UaObjectNode;
import org.eclipse.milo.opcua.sdk.server.nodes.UaVariableNode;
import org.eclipse.milo.opcua.sdk.server.util.SubscriptionModel;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.DateTime;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.structured.EUInformation;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteValue;
import org.eclipse.milo.opcua.stack.core.util.Namespaces;
import org.kerftally.shared.device.Prompt;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.DeviceVariable.Shown;

/** Lays the device contract out as nodes: one object, its variables, its method. */
final class PositionerNamespace extends ManagedNamespaceWithLifecycle {

  /** The namespace of the device contract. */
  static final String URI = "urn:kerftally:positioner";

  /**
   * Millimetre, as UNECE Recommendation 20 codes it: MMT, whose three characters read as a number
   * are 5066068 (OPC 10000-8, 5.6.4.3 says how).
   */
  static final EUInformation MILLIMETRE =
      new EUInformation(
          "http://www.opcfoundation.org/UA/units/un/cefact",
          5_066_068,
          LocalizedText.english("mm"),
          LocalizedText.english("millimetre"));

  private static final QualifiedProperty<EUInformation> ENGINEERING_UNITS =
      new QualifiedProperty<>(
          Namespaces.OPC_UA,
          "EngineeringUnits",
          NodeIds.EUInformation.expanded(),
          ValueRanks.Scalar,
          EUInformation.class);

  private final SimDevice device;
  private final Consumer<Prompt> onPrompt;
  private final SubscriptionModel sampling;
  private final Map<String, UaVariableNode> variables = new LinkedHashMap<>();
  private final PromptNodes prompts = new PromptNodes();

  PositionerNamespace(OpcUaServer server, SimDevice device, Consumer<Prompt> onPrompt) {
    super(server, URI);
    this.device = device;
    this.onPrompt = onPrompt;
    sampling = new SubscriptionModel(server, this);
    getLifecycleManager().addLifecycle(sampling);
    getLifecycleManager().addStartupTask(this::build);
  }

  private void build() {
    UaObjectNode positioner =
        UaObjectNode.build(
            getNodeContext(),
            builder ->
                builder
                    .setNodeId(newNodeId("Positioner"))
                    .setBrowseName(newQualifiedName("Positioner"))
                    .setDisplayName(LocalizedText.english("Positioner"))
                    .setTypeDefinition(NodeIds.BaseObjectType)
                    .build());
    getNodeManager().addNode(positioner);
    positioner.addReference(
        new Reference(
            positioner.getNodeId(), NodeIds.Organizes, NodeIds.ObjectsFolder.expanded(), false));
    for (DeviceVariable variable : DeviceVariable.ALL) {
      UaVariableNode node = variable(variable.name(), variable.type(), AccessLevel.READ_ONLY);
      positioner.addComponent(node);
      variables.put(variable.name(), node);
    }
    for (String name : PromptNodes.NAMES) {
      UaVariableNode node = variable(name, PromptNodes.typeOf(name), AccessLevel.READ_WRITE);
      positioner.addComponent(node);
      prompts.add(name, node);
    }
    positioner.addComponent(method());
    update();
  }

  private UaVariableNode variable(String name, NodeId type, Set<AccessLevel> access) {
    // Every Double of the contract is a length, and says in which unit.
    boolean isLength = type.equals(NodeIds.Double);
    UaVariableNode node =
        UaVariableNode.build(
            getNodeContext(),
            builder ->
                builder
                    .setNodeId(newNodeId("Positioner." + name))
                    .setBrowseName(newQualifiedName(name))
                    .setDisplayName(LocalizedText.english(name))
                    .setDataType(type)
                    .setValueRank(ValueRanks.Scalar)
                    .setTypeDefinition(
                        isLength ? NodeIds.AnalogUnitType : NodeIds.BaseDataVariableType)
                    .setAccessLevel(access)
                    .setUserAccessLevel(access)
                    .setMinimumSamplingInterval(SimLimits.SAMPLING_FLOOR_MILLIS)
                    .build());
    getNodeManager().addNode(node);
    if (isLength) {
      node.setProperty(ENGINEERING_UNITS, MILLIMETRE);
    }
    return node;
  }

  private UaMethodNode method() {
    UaMethodNode node =
        UaMethodNode.builder(getNodeContext())
            .setNodeId(newNodeId("Positioner.MoveAbsolute"))
            .setBrowseName(newQualifiedName("MoveAbsolute"))
            .setDisplayName(LocalizedText.english("MoveAbsolute"))
            .setDescription(LocalizedText.english("Moves the stop, or says why not."))
            .build();
    MoveAbsoluteMethod handler = new MoveAbsoluteMethod(node, device);
    node.setInputArguments(handler.getInputArguments());
    node.setOutputArguments(handler.getOutputArguments());
    node.setInvocationHandler(handler);
    getNodeManager().addNode(node);
    return node;
  }

  /** Puts what the device shows now into the nodes. Called by one thread at a time. */
  void update() {
    Shown shown = new Shown(device.snapshot(), device.targetPosition());
    DateTime now = DateTime.now();
    for (DeviceVariable variable : DeviceVariable.ALL) {
      UaVariableNode node = variables.get(variable.name());
      Variant value = variable.value().apply(shown);
      if (node != null && !value.equals(node.getValue().value())) {
        node.setValue(new DataValue(value, StatusCode.GOOD, now));
      }
    }
  }

  @Override
  public List<StatusCode> write(WriteContext context, List<WriteValue> values) {
    List<StatusCode> results = super.write(context, values);
    for (int i = 0; i < values.size(); i++) {
      if (results.get(i).isGood() && prompts.contains(values.get(i).getNodeId())) {
        prompts.read().ifPresent(onPrompt);
        break;
      }
    }
    return results;
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
