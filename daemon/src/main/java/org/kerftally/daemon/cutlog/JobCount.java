package org.kerftally.daemon.cutlog;

/**
 * Counts one part of a job; lines of the same name are counted together.
 *
 * @param job the job's id
 * @param part the part's name
 * @param wanted how many are wanted
 * @param made how many good ones were made
 * @param rejected how many the operator rejected
 * @param missing how many cannot be made from the stock there is
 */
public record JobCount(
    String job, String part, long wanted, long made, long rejected, long missing) {}
