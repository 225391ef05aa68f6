package org.kerftally.daemon.results;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.cutlog.LoggedFault;

/**
 * Counts what went wrong at the station while a job was being cut.
 *
 * @param suspects saw cycles out of position or without a target
 * @param unattributed saw cycles the device counted of which nothing else is known
 * @param faultCount how many faults came up, lost links not counted
 * @param faults the last of all these, oldest first, at most {@value #MAX_FAULTS}; a saw cycle has
 *     no length
 */
public record Incidents(int suspects, int unattributed, int faultCount, List<Fault> faults) {

  /** Most faults listed one by one: a flickering signal must not fill the memory. */
  public static final int MAX_FAULTS = 100;

  static final Incidents NONE = new Incidents(0, 0, 0, List.of());

  /** Copies the list. */
  public Incidents {
    faults = List.copyOf(faults);
  }

  /**
   * Describes a fault.
   *
   * @param code its code
   * @param text its text
   * @param since when it came up
   * @param until when it was gone, or {@code null} while it stands
   */
  public record Fault(String code, String text, Instant since, @Nullable Instant until) {}

  /** Tells whether any fault is not over yet. */
  boolean oneStands() {
    return faults.stream().anyMatch(fault -> fault.until() == null);
  }

  Incidents withSuspect(String text, Instant at) {
    List<Fault> list = listed(new Fault(LoggedFault.SUSPECT_CUT, text, at, at));
    return new Incidents(suspects + 1, unattributed, faultCount, list);
  }

  Incidents withUnattributed(String text, Instant at) {
    List<Fault> list = listed(new Fault(LoggedFault.UNATTRIBUTED_CUT, text, at, at));
    return new Incidents(suspects, unattributed + 1, faultCount, list);
  }

  Incidents raised(String code, String text, Instant since) {
    List<Fault> list = listed(new Fault(code, text, since, null));
    return new Incidents(suspects, unattributed, faultCount + 1, list);
  }

  Incidents linkDown(String text, Instant since) {
    List<Fault> list = listed(new Fault(LoggedFault.LINK_DOWN, text, since, null));
    return new Incidents(suspects, unattributed, faultCount, list);
  }

  private List<Fault> listed(Fault fault) {
    List<Fault> list = new ArrayList<>(faults);
    if (list.size() == MAX_FAULTS) {
      list.remove(0);
    }
    list.add(fault);
    return list;
  }

  Incidents cleared(String code, Instant until) {
    List<Fault> list = new ArrayList<>(faults);
    list.replaceAll(
        f ->
            f.until() == null && f.code().equals(code)
                ? new Fault(f.code(), f.text(), f.since(), until)
                : f);
    return new Incidents(suspects, unattributed, faultCount, list);
  }
}
