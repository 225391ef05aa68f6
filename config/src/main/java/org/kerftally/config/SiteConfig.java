package org.kerftally.config;

import java.nio.file.Path;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.kerftally.shared.length.Length;

/**
 * Holds everything one configuration file says, with every default filled in.
 *
 * <p>Immutable. Materials keep the order of the file.
 *
 * @param folder the site's folder: inbox, results, stock and the cut log; absolute
 * @param board where the live board listens
 * @param intake how job files are taken from the inbox
 * @param stations the saws, at least one, with distinct names
 * @param materials what is said about single materials, by name; a material need not be here
 * @param minOffcut the least remainder worth keeping, where the material says nothing else
 * @param planning how long a plan may take
 */
public record SiteConfig(
    Path folder,
    BoardConfig board,
    IntakeConfig intake,
    List<StationConfig> stations,
    Map<String, MaterialConfig> materials,
    Length minOffcut,
    PlanningConfig planning) {

  /** The least remainder worth keeping where nothing is said: 300 mm. */
  public static final Length DEFAULT_MIN_OFFCUT = Length.ofMm(300);

  /** Copies the collections. */
  public SiteConfig {
    stations = List.copyOf(stations);
    materials = Collections.unmodifiableMap(new LinkedHashMap<>(materials));
  }

  /** Returns all that holds for one station as YAML, every key with the value in force. */
  public String effectiveYaml(StationConfig station) {
    SiteConfig alone =
        new SiteConfig(folder, board, intake, List.of(station), materials, minOffcut, planning);
    return EffectiveYaml.renderUnmarked(alone);
  }
}
