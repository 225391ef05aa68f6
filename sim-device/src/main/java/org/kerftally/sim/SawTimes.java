package org.kerftally.sim;

import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Holds the saw cycle for each material: the loaded stick's, as its prompt named it.
 *
 * @param standard the cycle for every material without one of its own
 * @param byMaterial the cycle for a material, by its exact name
 */
public record SawTimes(SawCycle standard, Map<String, SawCycle> byMaterial) {

  /** The standard cycle for every material. */
  public static final SawTimes STANDARD = new SawTimes(SawCycle.STANDARD, Map.of());

  /** Keeps its own copy of the map. */
  public SawTimes {
    byMaterial = Map.copyOf(byMaterial);
  }

  /** Returns the cycle for a material, the standard one when it is not known. */
  public SawCycle cycleFor(@Nullable String material) {
    return material == null ? standard : byMaterial.getOrDefault(material, standard);
  }
}
