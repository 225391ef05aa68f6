package org.kerftally.daemon.cli;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.SiteConfig;
import org.kerftally.config.StationConfig;
import picocli.CommandLine;
import picocli.CommandLine.ParameterException;

/** Finds the station that a command is for. */
final class ChosenStation {

  private ChosenStation() {}

  /** Returns the station of a name, or the only one. */
  static StationConfig of(SiteConfig site, @Nullable String name, CommandLine line) {
    List<StationConfig> stations = site.stations();
    if (name == null && stations.size() == 1) {
      return stations.get(0);
    }
    return stations.stream()
        .filter(s -> s.name().equals(name))
        .findFirst()
        .orElseThrow(
            () ->
                new ParameterException(
                    line,
                    "--station is "
                        + (name == null ? "not given" : name)
                        + "; expected one of "
                        + stations.stream().map(StationConfig::name).toList()));
  }
}
