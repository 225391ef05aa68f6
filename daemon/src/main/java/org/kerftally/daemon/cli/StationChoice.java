package org.kerftally.daemon.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.config.SiteConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.shared.problem.Problem;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** The options of a command that is for one station of a site. */
final class StationChoice {

  @Option(
      names = {"-c", "--config"},
      required = true,
      paramLabel = "FILE",
      description = "The site's configuration.")
  private Path config;

  @Option(
      names = "--station",
      paramLabel = "NAME",
      description = "The station; needed where there is more than one.")
  private @Nullable String name;

  /** What was chosen. */
  record Chosen(SiteConfig site, StationConfig station) {}

  /**
   * Reads the configuration.
   *
   * @return {@code null} for a bad one, every problem of which was said on standard error
   * @throws ParameterException when it has no such station
   */
  @Nullable Chosen read(CommandLine line) {
    ConfigResult read = ConfigReader.read(config);
    if (read instanceof ConfigResult.Bad bad) {
      PrintWriter err = line.getErr();
      bad.problems().stream().map(Problem::text).forEach(err::println);
      err.flush();
      return null;
    }
    SiteConfig site = ((ConfigResult.Good) read).config();
    return new Chosen(site, station(site, line));
  }

  private StationConfig station(SiteConfig site, CommandLine line) {
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
