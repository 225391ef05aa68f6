package org.kerftally.config;

import static org.kerftally.config.SiteReader.orElse;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.MoveConfig.How;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.shared.length.Length;

/** Reads the list of stations and checks them against each other. */
final class StationsReader {

  /** More saws than one folder and one machine can serve. */
  static final int MAX_STATIONS = 64;

  private static final String EXAMPLE = "[ { name: saw1, … } ]";

  private final Section root;
  private final Path base;
  private final Map<String, Section> names = new HashMap<>();
  private final Map<List<Object>, String> devices = new HashMap<>();

  StationsReader(Section root, Path base) {
    this.root = root;
    this.base = base;
  }

  /** Returns the stations that could be read; every other one has its problems added. */
  List<StationConfig> read(Map<String, MaterialConfig> materials) {
    List<StationConfig> stations = new ArrayList<>();
    for (Section section : root.requireList("stations", Keys.STATION, MAX_STATIONS, EXAMPLE)) {
      String name = section.require("name", WordKinds.STATION_NAME);
      checkName(name, section);
      StationConfig station = new StationReader(section, base).read(name);
      if (station != null) {
        checkDevice(station, section);
        checkKerfs(station, section, materials);
        stations.add(station);
      }
    }
    return stations;
  }

  /** Names that differ in case only would share their files on some file systems. */
  private void checkName(@Nullable String name, Section section) {
    if (name == null) {
      return;
    }
    Section first = names.putIfAbsent(name.toLowerCase(Locale.ROOT), section);
    if (first != null) {
      section.wrong(
          "name",
          "found the name \"" + name + "\", which " + first.path() + " has already",
          "Give every station a name of its own; case alone does not tell them apart");
    }
  }

  private void checkDevice(StationConfig station, Section section) {
    String other = devices.putIfAbsent(device(station.link()), station.name());
    if (other != null) {
      section.wrong(
          "link",
          "found the same device as station " + other + " has, expected one of its own",
          "Two stations that send to one positioner would fight over it: change the address");
    }
  }

  private static List<Object> device(LinkConfig link) {
    if (link instanceof OpcUaLinkConfig opcua) {
      return opcua.wiring().move().how() == How.CONTRACT
          ? List.of(opcua.endpoint(), opcua.namespace(), opcua.nodes())
          : List.of(opcua.endpoint(), written(opcua.wiring().move()));
    }
    MqttLinkConfig mqtt = (MqttLinkConfig) link;
    return mqtt.wiring().move().how() == How.CONTRACT
        ? List.of(mqtt.broker(), mqtt.topic("target"))
        : List.of(mqtt.broker(), written(mqtt.wiring().move()));
  }

  /** Where and as what a device with a handshake of its own is told to move. */
  private static List<Object> written(MoveConfig move) {
    List<Object> places = new ArrayList<>();
    for (String name : MoveConfig.WRITTEN) {
      PointConfig point = move.pointOrNull(name);
      if (point != null) {
        places.add(point.place());
        places.add(orElse(point.template(), ""));
      }
    }
    return places;
  }

  private static void checkKerfs(
      StationConfig station, Section section, Map<String, MaterialConfig> materials) {
    Length trim = station.leadTrim();
    materials.forEach(
        (name, material) -> {
          Length kerf = material.kerf();
          if (kerf != null && trim.isPositive() && trim.isLessThan(kerf)) {
            section.wrong(
                "lead-trim",
                "found " + trim + ", expected 0 or at least the kerf " + kerf + " of " + name,
                "The lead trim holds the squaring cut's kerf. Example: `lead-trim: 10 mm`");
          }
        });
  }
}
