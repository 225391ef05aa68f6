package org.kerftally.daemon.service;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.kerftally.config.MaterialConfig;
import org.kerftally.config.MovesConfig;
import org.kerftally.config.OperatorConfig;
import org.kerftally.config.SiteConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.daemon.planning.PlanRequest;
import org.kerftally.daemon.planning.StationReach;
import org.kerftally.daemon.planning.sequence.StopRules;
import org.kerftally.daemon.station.StationRules;
import org.kerftally.daemon.station.StopMoves;
import org.kerftally.shared.geometry.CutRules;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.stock.StockItem;

/** Turns what the configuration says of a station into what the core and the planner need. */
public final class StationSetup {

  private final StationConfig config;
  private final StationRules rules;

  /** Sets up one station of a site. */
  public StationSetup(SiteConfig site, StationConfig station) {
    config = station;
    Map<String, CutRules> byMaterial = new LinkedHashMap<>();
    site.materials()
        .forEach((name, material) -> byMaterial.put(name, cutRules(site, station, material)));
    MaterialConfig plain = new MaterialConfig(null, null, null, null);
    rules =
        new StationRules(
            station.name(),
            station.layout(),
            station.travel(),
            station.calibration(),
            station.window(),
            station.targetValidity(),
            cutRules(site, station, plain),
            byMaterial,
            station.operator().stickLoaded() == OperatorConfig.StickLoaded.ASSUMED,
            station.operator().acknowledge() == OperatorConfig.Acknowledge.REMOTE_SWITCH,
            moves(station.moves()));
  }

  private static StopMoves moves(MovesConfig config) {
    return new StopMoves(config.retractBy(), config.hold(), config.parkAt(), config.parkAfter());
  }

  private static CutRules cutRules(SiteConfig site, StationConfig s, MaterialConfig material) {
    return new CutRules(
        material.kerf() == null ? s.kerf() : material.kerf(),
        s.leadTrim(),
        s.tail(),
        material.minOffcut() == null ? site.minOffcut() : material.minOffcut(),
        s.sliverCuts());
  }

  /** Returns the station's name. */
  public String name() {
    return config.name();
  }

  /** Returns the configuration. */
  public StationConfig config() {
    return config;
  }

  /** Returns the core's rules. */
  public StationRules rules() {
    return rules;
  }

  /** Returns a planner's request, narrowed to what this station can reach. */
  public StationReach.Narrowed request(List<Part> parts, List<StockItem> stock) {
    StopRules stop =
        new StopRules(
            rules.layout(),
            rules.travel().min().max(Length.ZERO),
            config.motion(),
            config.openParts());
    PlanRequest all = new PlanRequest(parts, stock, rules.materialRules(), rules.rules(), stop);
    return StationReach.narrow(all, rules.layout(), rules.travel());
  }
}
