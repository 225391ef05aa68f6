package org.kerftally.daemon.results;

/** Names the files kept for each job. */
enum JobFile {
  /** The plan for programs. */
  PLAN("plan.json"),
  /** The plan to print. */
  SHEET("sheet.html"),
  /** How many of each part. */
  COUNTS("counts.csv"),
  /** Every cut. */
  CUTS("cuts.csv"),
  /** What went wrong: faults, lost links, and saw cycles that are no part. */
  INCIDENTS("incidents.csv");

  private final String fileName;

  JobFile(String fileName) {
    this.fileName = fileName;
  }

  String fileName() {
    return fileName;
  }
}
