package org.kerftally.config;

import java.util.List;
import org.kerftally.shared.problem.Problem;

/** Holds what came of reading a configuration file: a configuration, or all that is wrong. */
public sealed interface ConfigResult {

  /**
   * A configuration without a problem.
   *
   * @param config the configuration
   * @param effectiveYaml the whole of it as YAML, every default filled in and marked {@code #
   *     default}; reading it gives an equal configuration
   */
  record Good(SiteConfig config, String effectiveYaml) implements ConfigResult {}

  /**
   * What is wrong, in the order of the file.
   *
   * @param problems at least one
   */
  record Bad(List<Problem> problems) implements ConfigResult {

    /** Copies the list. */
    public Bad {
      problems = List.copyOf(problems);
    }
  }
}
