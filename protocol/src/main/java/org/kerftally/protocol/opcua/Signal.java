package org.kerftally.protocol.opcua;

/** Names the variables of the device contract that are read, and says which a device must have. */
enum Signal {
  BOOT_ID("BootId", true),
  CUT_COUNT("CutCount", true),
  LAST_CUT_BOOT("LastCutBoot", true),
  LAST_CUT_COUNT("LastCutCount", true),
  LAST_CUT_SEQUENCE("LastCutSequence", true),
  LAST_CUT_POSITION("LastCutPosition", true),
  LAST_CUT_TIME("LastCutTime", false),
  ACTIVE_SEQUENCE("ActiveSequence", true),
  POSITION_ACTUAL_VALUE("PositionActualValue", true),
  TARGET_REACHED("TargetReached", true),
  HOMING_ATTAINED("HomingAttained", true),
  ENABLED("Enabled", true),
  REMOTE_ALLOWED("RemoteAllowed", true),
  SAW_STATE("SawState", true),
  FAULT_CODE("FaultCode", true),
  FAULT_TEXT("FaultText", false),
  STICK_LOADED_COUNT("StickLoadedCount", false),
  STICK_LENGTH("StickLength", false),
  REJECT_COUNT("RejectCount", false),
  DEFECT_COUNT("DefectCount", false),
  DEFECT_POSITION("DefectPosition", false),
  ACKNOWLEDGE_COUNT("AcknowledgeCount", false),
  PAUSED("Paused", false);

  private final String contractName;
  private final boolean required;

  Signal(String contractName, boolean required) {
    this.contractName = contractName;
    this.required = required;
  }

  /**
   * Returns the name in the device contract, which is the browse name and the key in the config.
   */
  String contractName() {
    return contractName;
  }

  /** Tells whether a station cannot do without it. */
  boolean required() {
    return required;
  }
}
