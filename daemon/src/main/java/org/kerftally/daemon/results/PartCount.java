package org.kerftally.daemon.results;

import org.kerftally.shared.job.Part;

/**
 * Counts one line of a job.
 *
 * @param part the line: what is wanted
 * @param made how many good ones were made
 * @param rejected how many were made and then rejected by the operator
 * @param missing how many cannot be made, as far as is known now
 */
public record PartCount(Part part, int made, int rejected, int missing) {

  /** Returns how many are wanted. */
  public int wanted() {
    return part.quantity();
  }

  PartCount withMade(int change) {
    return new PartCount(part, made + change, rejected, missing);
  }

  PartCount withRejected() {
    return new PartCount(part, made - 1, rejected + 1, missing);
  }

  PartCount withMissing(int count) {
    return new PartCount(part, made, rejected, count);
  }
}
