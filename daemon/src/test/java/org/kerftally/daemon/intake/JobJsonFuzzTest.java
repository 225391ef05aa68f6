package org.kerftally.daemon.intake;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Timeout;

/** Fuzzes job files in JSON: see {@link JobFileFuzz} for what holds. */
final class JobJsonFuzzTest {

  @FuzzTest
  @Timeout(value = 300, unit = TimeUnit.SECONDS)
  void bytesAreAJobOrProblemsWithTheirPlaces(byte[] bytes) {
    JobFileFuzz.check(bytes, "supers.json");
  }
}
