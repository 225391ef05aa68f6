package org.kerftally.daemon.intake;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

/**
 * A small shop: two pines of 2440 mm with 10 mm of trim, one station that reaches 20 to 2300 mm.
 */
public record Facts(List<String> stations, Map<String, PartLimits> byMaterial)
    implements ShopFacts {

  public static final Travel REACH = new Travel(Length.ofMm(20), Length.ofMm(2300));

  public static Facts shop() {
    return shop("pine-19x146", "pine-27x22");
  }

  public static Facts shop(String... materials) {
    Map<String, PartLimits> limits = new LinkedHashMap<>();
    for (String material : materials) {
      limits.put(material, new PartLimits(Length.ofMm(2440), Length.ofMm(2430), REACH));
    }
    return new Facts(List.of("saw1", "saw2"), limits);
  }

  @Override
  public List<String> materials() {
    return List.copyOf(byMaterial.keySet());
  }

  @Override
  public PartLimits limits(String material, @Nullable String station) {
    return byMaterial.get(material);
  }
}
