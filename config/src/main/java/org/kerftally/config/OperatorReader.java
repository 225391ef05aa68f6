package org.kerftally.config;

import static org.kerftally.config.SiteReader.orElse;

import org.jspecify.annotations.Nullable;
import org.kerftally.config.OperatorConfig.Acknowledge;
import org.kerftally.config.OperatorConfig.StickLoaded;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.config.wiring.WiringConfig;

/** Reads what the operator tells through the device, and checks it against the device's map. */
final class OperatorReader {

  private static final String METHOD = "MoveAbsolute";

  private final Section station;
  private final @Nullable Section section;

  OperatorReader(Section station) {
    this.station = station;
    this.section = station.section("operator", Keys.OPERATOR, "{ stick-loaded: assumed }");
  }

  OperatorConfig read() {
    OperatorConfig defaults = OperatorConfig.DEFAULT;
    if (section == null) {
      return defaults;
    }
    return new OperatorConfig(
        orElse(section.read("stick-loaded", WordKinds.STICK_LOADED), defaults.stickLoaded()),
        orElse(section.read("acknowledge", WordKinds.ACKNOWLEDGE), defaults.acknowledge()));
  }

  /** Checks that what is to be told can be told: a station would wait for it for good. */
  void check(OperatorConfig operator, LinkConfig link) {
    WiringConfig wiring = link.wiring();
    boolean bySwitch = operator.acknowledge() == Acknowledge.REMOTE_SWITCH;
    if (bySwitch && wiring.lacks().contains(StandIn.REMOTE_ALLOWED)) {
      wrong(
          "acknowledge",
          "found `remote-switch` for a device that lacks RemoteAllowed, expected it mapped: a switch"
              + " that is not seen acknowledges nothing",
          "Map RemoteAllowed, or map AcknowledgeCount and write `acknowledge: signal`");
    }
    checkValues(link);
    if (!isWhole(link)) {
      return;
    }
    if (!bySwitch && !isMapped(link, Signal.ACKNOWLEDGE_COUNT)) {
      wrong(
          "acknowledge",
          "found no place for AcknowledgeCount, which `acknowledge: signal` goes by: no target"
              + " would ever be sent",
          "Map AcknowledgeCount, or write `operator: { acknowledge: remote-switch }`");
    }
    if (operator.stickLoaded() == StickLoaded.SIGNAL
        && !isMapped(link, Signal.STICK_LOADED_COUNT)) {
      wrong(
          "stick-loaded",
          "found no place for StickLoadedCount, which `stick-loaded: signal` goes by: every stick"
              + " would be waited for",
          "Map StickLoadedCount, or write `operator: { stick-loaded: assumed }`");
    }
  }

  /** Checks what is told with a press: without its press it is never looked at. */
  private void checkValues(LinkConfig link) {
    if (isWhole(link)) {
      checkValue(link, Signal.STICK_LENGTH, Signal.STICK_LOADED_COUNT);
      checkValue(link, Signal.DEFECT_POSITION, Signal.DEFECT_COUNT);
    }
  }

  private void checkValue(LinkConfig link, Signal value, Signal press) {
    if (isMapped(link, value) && !isMapped(link, press)) {
      station.wrong(
          "link",
          "found "
              + value.contractName()
              + " without "
              + press.contractName()
              + ", expected both: the length is looked at when the press is counted",
          "Map " + press.contractName() + ", or leave " + value.contractName() + " out");
    }
  }

  private void wrong(String key, String message, String mend) {
    if (section == null) {
      station.wrong("operator", message, mend);
    } else {
      section.wrong(key, message, mend);
    }
  }

  /**
   * Tells whether the map is all there is of the device. A device over OPC UA that has something
   * where the contract puts it may have the rest there too; only a look at it can tell.
   */
  private static boolean isWhole(LinkConfig link) {
    WiringConfig wiring = link.wiring();
    if (link instanceof MqttLinkConfig) {
      return !wiring.signals().isEmpty() || !wiring.lacks().isEmpty();
    }
    boolean moves =
        wiring.move().how() != MoveConfig.How.CONTRACT
            || ((OpcUaLinkConfig) link).nodes().containsKey(METHOD);
    for (Signal signal : Signal.values()) {
      boolean byBits = signal == Signal.SAW_STATE && wiring.signals().containsKey(Signal.GUARD_UP);
      if (signal.required() && !byBits && !wiring.lacks(signal) && !isMapped(link, signal)) {
        return false;
      }
    }
    return moves;
  }

  private static boolean isMapped(LinkConfig link, Signal signal) {
    return link.wiring().signals().containsKey(signal)
        || (link instanceof OpcUaLinkConfig opcua
            && opcua.nodes().containsKey(signal.contractName()));
  }
}
