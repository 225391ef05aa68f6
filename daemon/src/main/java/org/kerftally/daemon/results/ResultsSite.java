package org.kerftally.daemon.results;

import java.nio.file.Path;
import java.time.ZoneId;
import java.util.List;
import java.util.function.Function;
import org.kerftally.daemon.cutlog.LoggedCut;
import org.kerftally.shared.geometry.CutRules;

/**
 * Says where results go and where their facts come from.
 *
 * @param folder the site's folder: {@code results/} and {@code offcuts.csv} are in it
 * @param rules tells a saw's constants
 * @param cuts reads all cuts of a job from the cut log, in order; may throw a {@link
 *     org.kerftally.daemon.cutlog.CutLogException}
 * @param zone the time zone of the workshop, for times on paper
 */
public record ResultsSite(
    Path folder, SawRules rules, Function<String, List<LoggedCut>> cuts, ZoneId zone) {

  /** Tells a saw's constants. */
  @FunctionalInterface
  public interface SawRules {
    /**
     * Returns the constants of a station for a material; for a station that is not configured any
     * more, those of any other.
     */
    CutRules of(String station, String material);
  }

  Path jobFolder(String job) {
    Path results = folder.resolve("results");
    Path jobFolder = results.resolve(job);
    if (!results.equals(jobFolder.normalize().getParent())) {
      throw new IllegalStateException("the job's id is not safe as a file name: " + job);
    }
    return jobFolder;
  }

  Path offcutsFile() {
    return folder.resolve("offcuts.csv");
  }
}
