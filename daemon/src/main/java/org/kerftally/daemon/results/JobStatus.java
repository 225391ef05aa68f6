package org.kerftally.daemon.results;

/** Says how far a job is. */
public enum JobStatus {
  /** Taken, and not started. */
  WAITING,
  /** Being cut. */
  RUNNING,
  /** Ended with every piece made. */
  COMPLETE,
  /** Ended with pieces missing. */
  SHORT,
  /** Taken back before it was started. */
  WITHDRAWN;

  /** Returns the word for people and files. */
  public String word() {
    return switch (this) {
      case WAITING -> "waiting";
      case RUNNING -> "running";
      case COMPLETE -> "complete";
      case SHORT -> "short";
      case WITHDRAWN -> "withdrawn";
    };
  }

  /** Tells whether nothing more is going to be cut, unless the job is reopened. */
  public boolean finished() {
    return this == COMPLETE || this == SHORT || this == WITHDRAWN;
  }
}
