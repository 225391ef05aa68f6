package org.kerftally.daemon.planning;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.job.Part;

/**
 * Makes the parts of several jobs into the parts of one request, and tells of each whose it is.
 *
 * <p>Two jobs may name a part alike, and a plan knows parts by name; so each is given a key for a
 * name, and the key leads back to job and part. What is made first when the stock does not suffice
 * goes by the job's priority, then the day it is due (one without a day last), then the part's own
 * priority: so a job of lower priority stays short before one of a higher gives up a single piece.
 * Where nothing is short the jobs are equals, and share sticks as that costs least.
 */
public final class JointJobs {

  /**
   * States one of the jobs.
   *
   * @param name what it is called
   * @param priority 1 is made first
   * @param due the day it is wanted, or {@code null}
   * @param parts its parts
   */
  public record Job(String name, int priority, @Nullable LocalDate due, List<Part> parts) {

    /** Copies the list. */
    public Job {
      parts = List.copyOf(parts);
    }
  }

  /**
   * Says whose a part is.
   *
   * @param job the job's place among the jobs, from 0
   * @param part the part as the job names it
   */
  public record Owner(int job, Part part) {}

  /** What decides who is made first. */
  private record Rank(int jobPriority, LocalDate due, int partPriority)
      implements Comparable<Rank> {

    private static final Comparator<Rank> ORDER =
        Comparator.comparingInt(Rank::jobPriority)
            .thenComparing(Rank::due)
            .thenComparingInt(Rank::partPriority);

    static Rank of(Job job, Part part) {
      LocalDate due = job.due();
      return new Rank(job.priority(), due == null ? LocalDate.MAX : due, part.priority());
    }

    @Override
    public int compareTo(Rank other) {
      return ORDER.compare(this, other);
    }
  }

  private final List<Part> parts = new ArrayList<>();
  private final Map<String, Owner> owners = new HashMap<>();

  /** Joins the jobs. */
  public JointJobs(List<Job> jobs) {
    TreeSet<Rank> ranks = new TreeSet<>();
    jobs.forEach(job -> job.parts().forEach(part -> ranks.add(Rank.of(job, part))));
    List<Rank> order = List.copyOf(ranks);
    for (int j = 0; j < jobs.size(); j++) {
      Job job = jobs.get(j);
      for (int p = 0; p < job.parts().size(); p++) {
        Part part = job.parts().get(p);
        String key = j + "/" + p;
        int priority = order.indexOf(Rank.of(job, part)) + 1;
        parts.add(
            new Part(key, part.length(), part.quantity(), part.material(), priority, part.note()));
        owners.put(key, new Owner(j, part));
      }
    }
  }

  /** Returns all parts, named by keys, for one request. */
  public List<Part> parts() {
    return List.copyOf(parts);
  }

  /**
   * Returns whose a part of a plan is.
   *
   * @param key the name it has in the plan
   * @throws IllegalArgumentException when no part has that name
   */
  public Owner owner(String key) {
    Owner owner = owners.get(key);
    if (owner == null) {
      throw new IllegalArgumentException("no part of these jobs: " + key);
    }
    return owner;
  }
}
