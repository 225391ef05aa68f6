package org.kerftally.config.wiring;

import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Names the signals of the device contract that are read, and two that some devices have in place
 * of the saw state.
 */
public enum Signal {
  /** The present power-up. */
  BOOT_ID("BootId", Kind.IDENTITY, true),
  /** Saw cycles counted by the device. */
  CUT_COUNT("CutCount", Kind.TOTAL, true),
  /** The last cut's power-up. */
  LAST_CUT_BOOT("LastCutBoot", Kind.IDENTITY, true),
  /** The last cut's count. */
  LAST_CUT_COUNT("LastCutCount", Kind.TOTAL, true),
  /** The target that was active at the last cut. */
  LAST_CUT_SEQUENCE("LastCutSequence", Kind.NUMBER, true),
  /** Where the stop stood at the last cut. */
  LAST_CUT_POSITION("LastCutPosition", Kind.POSITION, true),
  /** When the last cut was. */
  LAST_CUT_TIME("LastCutTime", Kind.TIME, false),
  /** The target the device holds. */
  ACTIVE_SEQUENCE("ActiveSequence", Kind.NUMBER, true),
  /** Where the stop stands. */
  POSITION_ACTUAL_VALUE("PositionActualValue", Kind.POSITION, true),
  /** Whether the stop stands at the active target. */
  TARGET_REACHED("TargetReached", Kind.FLAG, true),
  /** Whether the drive knows its position. */
  HOMING_ATTAINED("HomingAttained", Kind.FLAG, true),
  /** Whether the drive is enabled. */
  ENABLED("Enabled", Kind.FLAG, true),
  /** Whether the machine lets a remote side command moves. */
  REMOTE_ALLOWED("RemoteAllowed", Kind.FLAG, true),
  /** Where the saw is in its cycle. */
  SAW_STATE("SawState", Kind.STATE, true),
  /** The fault that stands. */
  FAULT_CODE("FaultCode", Kind.CODE, true),
  /** The device's own words for it. */
  FAULT_TEXT("FaultText", Kind.TEXT, false),
  /** Presses of "stick loaded". */
  STICK_LOADED_COUNT("StickLoadedCount", Kind.TOTAL, false),
  /** The measured length of the last stick loaded. */
  STICK_LENGTH("StickLength", Kind.POSITION, false),
  /** Presses of "last piece rejected". */
  REJECT_COUNT("RejectCount", Kind.TOTAL, false),
  /** Presses of "defect". */
  DEFECT_COUNT("DefectCount", Kind.TOTAL, false),
  /** How much of the stick is sound. */
  DEFECT_POSITION("DefectPosition", Kind.POSITION, false),
  /** Presses of "acknowledge". */
  ACKNOWLEDGE_COUNT("AcknowledgeCount", Kind.TOTAL, false),
  /** Whether the pause switch is on. */
  PAUSED("Paused", Kind.FLAG, false),
  /** Whether the guard is up; with {@link #BLADE_IN} in place of the saw state. */
  GUARD_UP("GuardUp", Kind.FLAG, false),
  /** Whether the blade is in; with {@link #GUARD_UP} in place of the saw state. */
  BLADE_IN("BladeIn", Kind.FLAG, false),
  /** Whether a device on MQTT is there. */
  ONLINE("Online", Kind.FLAG, false);

  /** Says what a signal's value is. */
  public enum Kind {
    /** True or false. */
    FLAG,
    /** A total that only grows. */
    TOTAL,
    /** A whole number. */
    NUMBER,
    /** A fault code, 0 for none. */
    CODE,
    /** A length or position. */
    POSITION,
    /** A state of the saw. */
    STATE,
    /** Words for people. */
    TEXT,
    /** A text that is only compared. */
    IDENTITY,
    /** A moment. */
    TIME
  }

  private final String contractName;
  private final Kind kind;
  private final boolean required;

  Signal(String contractName, Kind kind, boolean required) {
    this.contractName = contractName;
    this.kind = kind;
    this.required = required;
  }

  /**
   * Tells whether a device may have no value for it for a while: before the first cut, where no
   * stick was measured, while there is no fault.
   */
  public boolean mayBeNone() {
    return switch (this) {
      case LAST_CUT_BOOT,
          LAST_CUT_COUNT,
          LAST_CUT_SEQUENCE,
          LAST_CUT_POSITION,
          LAST_CUT_TIME,
          STICK_LENGTH,
          DEFECT_POSITION,
          FAULT_TEXT ->
          true;
      default -> false;
    };
  }

  /** Returns the name in the device contract: the browse name, and the key in the configuration. */
  public String contractName() {
    return contractName;
  }

  /** Returns what its value is. */
  public Kind kind() {
    return kind;
  }

  /** Tells whether a station cannot do without it, or without what stands in for it. */
  public boolean required() {
    return required;
  }

  /** Tells whether it is one of the five of the last cut. */
  public boolean isOfLastCut() {
    return contractName.startsWith("LastCut");
  }

  /** Returns the signals the device contract knows, those only mapped devices have left out. */
  public static List<Signal> ofContract() {
    return Arrays.stream(values())
        .filter(s -> s != GUARD_UP && s != BLADE_IN && s != ONLINE)
        .toList();
  }

  /** Returns every name. */
  public static List<String> names() {
    return Arrays.stream(values()).map(Signal::contractName).toList();
  }

  /** Returns the signal of a name, or {@code null}. */
  public static @Nullable Signal named(String name) {
    return Arrays.stream(values())
        .filter(s -> s.contractName.equals(name))
        .findFirst()
        .orElse(null);
  }
}
