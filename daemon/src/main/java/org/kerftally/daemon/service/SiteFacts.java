package org.kerftally.daemon.service;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.intake.ShopFacts;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StockItem;

/**
 * Tells what job files are checked against, from one picture of the stock.
 *
 * <p>Sticks that are spoken for count as there: whether a job can be cut at all and whether enough
 * is free for it are two questions.
 */
final class SiteFacts implements ShopFacts {

  private final List<StationSetup> stations;
  private final List<StockItem> stock;

  SiteFacts(List<StationSetup> stations, List<StockItem> stock) {
    this.stations = List.copyOf(stations);
    this.stock = List.copyOf(stock);
  }

  @Override
  public List<String> stations() {
    return stations.stream().map(StationSetup::name).toList();
  }

  @Override
  public List<String> materials() {
    Set<String> names = new LinkedHashSet<>();
    stock.forEach(item -> names.add(item.material()));
    return new ArrayList<>(names);
  }

  @Override
  public PartLimits limits(String material, @Nullable String station) {
    Length longestStick = null;
    Length longestPart = null;
    Travel reach = null;
    boolean anyLength = false;
    for (StationSetup setup : stations) {
      if (station != null && !station.equals(setup.name())) {
        continue;
      }
      CutRules rules = setup.rules().rulesFor(material);
      Travel travel = setup.rules().travel();
      boolean pusher = setup.rules().layout() == Layout.INFEED_PUSHER;
      anyLength |= pusher;
      reach = pusher ? reach : wider(reach, travel);
      for (StockItem item : stock) {
        if (item.material().equals(material)) {
          longestStick = longer(longestStick, item.length());
          longestPart = longer(longestPart, longestPart(item.length(), rules, travel, pusher));
        }
      }
    }
    return new PartLimits(longestStick, longestPart, anyLength ? null : reach);
  }

  /** The longest single part: flush with the stick where nothing need be held behind it. */
  private static @Nullable Length longestPart(
      Length stick, CutRules rules, Travel travel, boolean pusher) {
    if (pusher && stick.minus(rules.leadTrim()).isMoreThan(travel.max())) {
      return null;
    }
    Length held = pusher ? rules.tail().max(travel.min()) : rules.tail();
    Length rest = stick.minus(rules.leadTrim());
    Length part = held.isPositive() ? rest.minus(rules.kerf()).minus(held) : rest;
    return part.isPositive() ? part : null;
  }

  private static Travel wider(@Nullable Travel a, Travel b) {
    return a == null ? b : new Travel(a.min().min(b.min()), a.max().max(b.max()));
  }

  private static @Nullable Length longer(@Nullable Length a, @Nullable Length b) {
    if (a == null || b == null) {
      return a == null ? b : a;
    }
    return a.max(b);
  }
}
