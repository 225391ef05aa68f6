package org.kerftally.protocol.opcua;

import java.util.Map;
import org.eclipse.milo.opcua.stack.core.AttributeId;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.UaSerializationException;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.ExtensionObject;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.QualifiedName;
import org.eclipse.milo.opcua.stack.core.types.enumerated.TimestampsToReturn;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowsePath;
import org.eclipse.milo.opcua.stack.core.types.structured.BrowsePathResult;
import org.eclipse.milo.opcua.stack.core.types.structured.EUInformation;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadValueId;
import org.eclipse.milo.opcua.stack.core.types.structured.RelativePath;
import org.eclipse.milo.opcua.stack.core.types.structured.RelativePathElement;
import org.eclipse.milo.opcua.stack.core.types.structured.TranslateBrowsePathsToNodeIdsRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.TranslateBrowsePathsToNodeIdsResponse;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.shared.length.Length;

/**
 * Compares the unit a server states for a position with the one the map takes it in.
 *
 * <p>A server states it in the property EngineeringUnits (OPC UA part 8, 5.6.4.3): a code of UNECE
 * Recommendation 20, whose characters, one byte each, make up a number. A server without the
 * property, or with a code that is none of these, is compared with nothing.
 */
final class UnitCheck {

  /** A unit that a position can be stated in. */
  private record Unit(String code, String word, Length length) {}

  private static final Map<Integer, Unit> UNITS =
      Map.of(
          packed("MMT"), new Unit("MMT", "mm", Length.ofMm(1)),
          packed("MTR"), new Unit("MTR", "m", Length.ofMm(1_000)),
          packed("INH"), new Unit("INH", "in", Length.ofNm(25_400_000)));

  private final DeviceSession session;
  private final OpcUaLinkConfig config;

  UnitCheck(DeviceSession session, OpcUaLinkConfig config) {
    this.session = session;
    this.config = config;
  }

  /** Returns the number that a code of up to four characters is stated as. */
  static int packed(String code) {
    return code.chars().reduce(0, (number, character) -> number << 8 | character);
  }

  /** Returns what is wrong with a position's unit, {@code null} for nothing that can be seen. */
  @Nullable String fault(ProbePoint point) throws LinkFault, InterruptedException {
    Signal signal = point.signal();
    boolean isPosition =
        signal == null
            ? "position".equals(point.moveName())
            : signal.kind() == Signal.Kind.POSITION;
    NodeId node = point.node();
    if (!isPosition || node == null) {
      return null;
    }
    Integer stated = stated(node);
    Unit unit = stated == null ? null : UNITS.get(stated);
    Length mapped = point.point().unit() == null ? Length.ofMm(1) : point.point().unit();
    if (unit == null || unit.length().equals(mapped)) {
      return null;
    }
    String key = NodeCheck.key(config, point.name());
    boolean takesUnit = !key.equals("link.opcua.nodes");
    return "signal "
        + point.name()
        + ": node "
        + node.toParseableString()
        + " has the unit "
        + unit.word()
        + " (EngineeringUnits "
        + unit.code()
        + "), the map takes one unit of it as "
        + mapped
        + "; write `unit: "
        + unit.word()
        + "` at "
        + (takesUnit ? key : "link.opcua.signals." + point.name() + ", beside its node")
        + ", or have the device's property mended";
  }

  private @Nullable Integer stated(NodeId node) throws LinkFault, InterruptedException {
    RelativePathElement step =
        new RelativePathElement(
            NodeIds.HasProperty, false, true, new QualifiedName(0, "EngineeringUnits"));
    BrowsePath path = new BrowsePath(node, new RelativePath(new RelativePathElement[] {step}));
    BrowsePathResult[] found =
        session
            .ask(
                TranslateBrowsePathsToNodeIdsResponse.class,
                header -> new TranslateBrowsePathsToNodeIdsRequest(header, new BrowsePath[] {path}))
            .getResults();
    NodeId property = found == null || found.length == 0 ? null : target(found[0]);
    return property == null ? null : unitId(read(property));
  }

  private @Nullable NodeId target(BrowsePathResult result) {
    if (!result.getStatusCode().isGood()
        || result.getTargets() == null
        || result.getTargets().length == 0) {
      return null;
    }
    return result.getTargets()[0].getTargetId().toNodeId(session.namespaces()).orElse(null);
  }

  private @Nullable Object read(NodeId property) throws LinkFault, InterruptedException {
    ReadValueId id =
        new ReadValueId(property, AttributeId.Value.uid(), null, QualifiedName.NULL_VALUE);
    DataValue[] results =
        session
            .ask(
                ReadResponse.class,
                header ->
                    new ReadRequest(
                        header, 0.0, TimestampsToReturn.Neither, new ReadValueId[] {id}))
            .getResults();
    return results == null || results.length == 0 ? null : results[0].value().value();
  }

  private @Nullable Integer unitId(@Nullable Object value) {
    try {
      Object decoded =
          value instanceof ExtensionObject packed
              ? packed.decode(session.client().getStaticEncodingContext())
              : value;
      return decoded instanceof EUInformation unit ? unit.getUnitId() : null;
    } catch (UaSerializationException e) {
      // A server that states its unit unreadably states none.
      return null;
    }
  }
}
