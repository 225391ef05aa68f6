package org.kerftally.daemon.cutlog;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Says how a cut log was found.
 *
 * @param file the file
 * @param events how many events can be read from the first on, each as it was written
 * @param from when the first of them was written, or {@code null} when there is none
 * @param to when the last of them was written, or {@code null} when there is none
 * @param stations the stations that have events
 * @param problems what is wrong, in words, the worst first; empty when nothing is
 * @param rebuildHelps whether the events are whole, so that the tables can be made anew from them
 * @param remarks what could not be told, in words
 */
public record LogReport(
    Path file,
    long events,
    @Nullable Instant from,
    @Nullable Instant to,
    List<String> stations,
    List<String> problems,
    boolean rebuildHelps,
    List<String> remarks) {

  /** Copies the lists. */
  public LogReport {
    stations = List.copyOf(stations);
    problems = List.copyOf(problems);
    remarks = List.copyOf(remarks);
  }

  /** Tells whether nothing is wrong. */
  public boolean isSound() {
    return problems.isEmpty();
  }
}
