package org.kerftally.sim.opcua;

import org.eclipse.milo.opcua.sdk.core.ValueRanks;
import org.eclipse.milo.opcua.sdk.server.methods.AbstractMethodInvocationHandler;
import org.eclipse.milo.opcua.sdk.server.nodes.UaMethodNode;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UInteger;
import org.eclipse.milo.opcua.stack.core.types.structured.Argument;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.Answer;
import org.kerftally.sim.SimDevice;

/** Takes a target as a method call and answers at once: accepted, or the reason why not. */
final class MoveAbsoluteMethod extends AbstractMethodInvocationHandler {

  /** The farthest position worth asking the device about, in millimetres. */
  private static final double MAX_POSITION_MM = 1e6;

  private final SimDevice device;

  MoveAbsoluteMethod(UaMethodNode node, SimDevice device) {
    super(node);
    this.device = device;
  }

  @Override
  public Argument[] getInputArguments() {
    return new Argument[] {
      argument("Position", NodeIds.Double, "Where the stop shall stand, in millimetres."),
      argument("Sequence", NodeIds.UInt32, "The target's number, above every one before.")
    };
  }

  @Override
  public Argument[] getOutputArguments() {
    return new Argument[] {
      argument("Accepted", NodeIds.Boolean, "Whether the stop moves there."),
      argument("Reason", NodeIds.String, "Why not, else empty.")
    };
  }

  private static Argument argument(String name, NodeId type, String description) {
    return new Argument(name, type, ValueRanks.Scalar, null, LocalizedText.english(description));
  }

  @Override
  protected Variant[] invoke(InvocationContext context, Variant[] inputs) throws UaException {
    if (!(inputs[0].value() instanceof Double mm)
        || !(inputs[1].value() instanceof UInteger sequence)) {
      throw new UaException(StatusCodes.Bad_InvalidArgument);
    }
    if (!Double.isFinite(mm) || Math.abs(mm) > MAX_POSITION_MM) {
      return answer(Answer.refused("not a position: " + mm));
    }
    return answer(device.moveAbsolute(Length.ofReadingMm(mm), sequence.longValue()));
  }

  private static Variant[] answer(Answer answer) {
    String reason = answer instanceof Answer.Refused refused ? refused.reason() : "";
    return new Variant[] {Variant.ofBoolean(reason.isEmpty()), Variant.ofString(reason)};
  }
}
