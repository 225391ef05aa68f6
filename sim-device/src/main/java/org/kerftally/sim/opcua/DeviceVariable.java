package org.kerftally.sim.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import java.util.List;
import java.util.function.Function;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.types.builtin.DateTime;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.length.Length;

/**
 * Describes one readable variable of the device contract and where its value comes from.
 *
 * @param name its browse name
 * @param type its data type; Double for a length in millimetres, NaN where there is none
 * @param value takes its value from what the device shows
 */
record DeviceVariable(String name, NodeId type, Function<Shown, Variant> value) {

  /**
   * Holds what the device shows at one moment.
   *
   * @param snapshot every feedback signal
   * @param target the position of the target the device holds, {@code null} for none
   */
  record Shown(DeviceSnapshot snapshot, @Nullable Length target) {}

  /**
   * Every variable, in the order it is updated: the last cut before the count, so that whoever sees
   * the new count can see the cut as well.
   */
  static final List<DeviceVariable> ALL =
      List.of(
          text("BootId", s -> s.snapshot().boot()),
          length("TargetPosition", Shown::target),
          count("TargetSequence", s -> s.snapshot().activeSequence()),
          count("ActiveSequence", s -> s.snapshot().activeSequence()),
          length("PositionActualValue", s -> s.snapshot().position()),
          flag("TargetReached", s -> s.snapshot().targetReached()),
          flag("HomingAttained", s -> s.snapshot().homingAttained()),
          flag("Enabled", s -> s.snapshot().enabled()),
          flag("RemoteAllowed", s -> s.snapshot().remoteAllowed()),
          code("SawState", s -> s.snapshot().sawState().code()),
          code("FaultCode", s -> s.snapshot().faultCode()),
          text("FaultText", s -> s.snapshot().faultText()),
          count("StickLoadedCount", s -> s.snapshot().panel().stickLoaded()),
          length("StickLength", s -> s.snapshot().panel().stickLength()),
          count("RejectCount", s -> s.snapshot().panel().rejected()),
          count("DefectCount", s -> s.snapshot().panel().defects()),
          length("DefectPosition", s -> s.snapshot().panel().defectAt()),
          count("AcknowledgeCount", s -> s.snapshot().panel().acknowledged()),
          flag("Paused", s -> s.snapshot().panel().paused()),
          text("LastCutBoot", s -> ofLastCut(s, LastCut::boot, "")),
          count("LastCutCount", s -> ofLastCut(s, LastCut::count, 0L)),
          count("LastCutSequence", s -> ofLastCut(s, LastCut::seq, 0L)),
          length("LastCutPosition", DeviceVariable::lastCutPosition),
          new DeviceVariable("LastCutTime", NodeIds.DateTime, DeviceVariable::lastCutTime),
          count("CutCount", s -> s.snapshot().cutCount()));

  private static <T> T ofLastCut(Shown shown, Function<LastCut, T> field, T none) {
    LastCut cut = shown.snapshot().lastCut();
    return cut == null ? none : field.apply(cut);
  }

  private static @Nullable Length lastCutPosition(Shown shown) {
    LastCut cut = shown.snapshot().lastCut();
    return cut == null ? null : cut.position();
  }

  private static Variant lastCutTime(Shown shown) {
    LastCut cut = shown.snapshot().lastCut();
    return cut == null || cut.at() == null
        ? Variant.ofNull()
        : Variant.ofDateTime(new DateTime(cut.at()));
  }

  private static DeviceVariable length(String name, LengthOf value) {
    return new DeviceVariable(
        name,
        NodeIds.Double,
        shown -> {
          Length length = value.of(shown);
          return Variant.ofDouble(length == null ? Double.NaN : length.toReadingMm());
        });
  }

  private static DeviceVariable count(String name, Function<Shown, Long> value) {
    return new DeviceVariable(
        name, NodeIds.UInt32, shown -> Variant.ofUInt32(uint(value.apply(shown))));
  }

  private static DeviceVariable code(String name, Function<Shown, Integer> value) {
    return new DeviceVariable(name, NodeIds.Int32, shown -> Variant.ofInt32(value.apply(shown)));
  }

  private static DeviceVariable flag(String name, Function<Shown, Boolean> value) {
    return new DeviceVariable(
        name, NodeIds.Boolean, shown -> Variant.ofBoolean(value.apply(shown)));
  }

  private static DeviceVariable text(String name, Function<Shown, String> value) {
    return new DeviceVariable(name, NodeIds.String, shown -> Variant.ofString(value.apply(shown)));
  }

  /** Takes a length, or {@code null} where there is none. */
  private interface LengthOf {
    @Nullable Length of(Shown shown);
  }
}
