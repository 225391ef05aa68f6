package org.kerftally.daemon.station;

import java.time.Duration;
import java.util.Map;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

/**
 * States what is fixed at a station while the service runs.
 *
 * @param name the station's name
 * @param layout which side of the blade the positioner stands on
 * @param travel where the stop can stand
 * @param calibration how a length becomes a device position
 * @param window how far from its target the stop may stand for a cut to count, as a position
 * @param validity how long a target may stay unanswered
 * @param rules kerf, trims and least offcut where the material has none of its own
 * @param materialRules the same by material
 * @param assumeStick whether sticks count as loaded when asked for, for machines without a button
 * @param remoteSwitchAcknowledges whether switching remote off and on stands in for the button
 * @param moves which moves the stop makes besides those to its targets
 */
public record StationRules(
    String name,
    Layout layout,
    Travel travel,
    Calibration calibration,
    Length window,
    Duration validity,
    CutRules rules,
    Map<String, CutRules> materialRules,
    boolean assumeStick,
    boolean remoteSwitchAcknowledges,
    StopMoves moves) {

  /** Copies the map. */
  public StationRules {
    materialRules = Map.copyOf(materialRules);
  }

  /** Returns the rules for a material. */
  public CutRules rulesFor(String material) {
    return materialRules.getOrDefault(material, rules);
  }
}
