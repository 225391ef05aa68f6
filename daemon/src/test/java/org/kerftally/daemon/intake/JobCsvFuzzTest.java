package org.kerftally.daemon.intake;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Timeout;

/** Fuzzes job files in CSV: see {@link JobFileFuzz} for what holds. */
final class JobCsvFuzzTest {

  @FuzzTest
  @Timeout(value = 300, unit = TimeUnit.SECONDS)
  void bytesAreAJobOrProblemsWithTheirPlaces(byte[] bytes) {
    JobFileFuzz.check(bytes, "supers.csv");
  }
}
