package org.kerftally.daemon;

import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideOutsideOfPackages;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.lang.ArchRule;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Holds the arrows between modules and packages, over the compiled classes: what is drawn in
 * DEVELOPERS.md is what the code does.
 */
final class ArchitectureTest {

  private static final String ROOT = "org.kerftally.";
  private static JavaClasses all;

  @BeforeAll
  static void read() {
    all =
        new ClassFileImporter()
            .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
            .importPackages("org.kerftally");
    assertThat(all.size()).as("classes read").isGreaterThan(100);
  }

  @ParameterizedTest(name = "{0} may use {1}")
  @CsvSource({
    "shared, shared",
    "config, shared|config",
    "sim, shared|config|sim",
    "protocol, shared|config|protocol",
    "daemon.planning, shared|daemon.planning",
    "daemon.station, shared|daemon.station",
    "daemon.stock, shared|daemon.stock",
    "daemon.calibration, shared|daemon.calibration",
    "daemon.codec, shared|daemon.codec",
    "daemon.cutlog, shared|daemon.codec|daemon.cutlog",
    "daemon.conformance, shared|config|daemon.conformance",
    "daemon.intake, shared|config|daemon.intake",
    "daemon.results, shared|daemon.stock|daemon.cutlog|daemon.results",
    "daemon.service, shared|config|protocol|daemon.planning|daemon.station|daemon.stock"
        + "|daemon.cutlog|daemon.intake|daemon.service",
    "daemon.trace, shared|config|protocol|daemon.codec|daemon.station|daemon.service|daemon.trace",
    "daemon.board, shared|config|daemon.stock|daemon.results|daemon.intake|daemon.service"
        + "|daemon.board"
  })
  void aPackageUsesOnlyWhatItMay(String from, String allowed) {
    String[] may = allowed.split("\\|");
    for (int i = 0; i < may.length; i++) {
      may[i] = ROOT + may[i].trim() + "..";
    }
    noClasses()
        .that()
        .resideInAPackage(ROOT + from + "..")
        .should()
        .dependOnClassesThat(
            resideInAnyPackage("org.kerftally..").and(resideOutsideOfPackages(may)))
        .check(all);
  }

  @Test
  void theSimulatedDeviceIsUsedByTheDemoAlone() {
    noClasses()
        .that()
        .resideInAPackage("org.kerftally.daemon..")
        .and()
        .resideOutsideOfPackage("org.kerftally.daemon.cli.demo..")
        .should()
        .dependOnClassesThat()
        .resideInAPackage("org.kerftally.sim..")
        .check(all);
  }

  @Test
  void onlyTheCommandLineComposes() {
    noClasses()
        .that()
        .resideOutsideOfPackage("org.kerftally.daemon.cli..")
        .should()
        .dependOnClassesThat()
        .resideInAPackage("org.kerftally.daemon.cli..")
        .check(all);
  }

  @Test
  void sharedUsesTheJdkAlone() {
    classes()
        .that()
        .resideInAPackage("org.kerftally.shared..")
        .should()
        .onlyDependOnClassesThat()
        .resideInAnyPackage("org.kerftally.shared..", "java..", "org.jspecify..")
        .check(all);
  }

  private static ArchRule pure(String... packages) {
    return noClasses()
        .that()
        .resideInAnyPackage(packages)
        .should()
        .dependOnClassesThat()
        .resideInAnyPackage(
            "java.io..",
            "java.nio..",
            "java.net..",
            "java.sql..",
            "java.util.concurrent..",
            "java.util.logging..",
            "org.slf4j..")
        .orShould()
        .dependOnClassesThat()
        .belongToAnyOf(Thread.class, java.time.Clock.class, java.util.Random.class)
        .orShould()
        .callMethod(System.class, "currentTimeMillis")
        .orShould()
        .callMethod(System.class, "nanoTime")
        .orShould()
        .callMethod(java.time.Instant.class, "now")
        .orShould()
        .callMethod(Math.class, "random")
        .orShould()
        .callMethod(java.util.UUID.class, "randomUUID");
  }

  @Test
  void pureCodeHasNoClockChanceThreadOrInputAndOutput() {
    pure(
            "org.kerftally.shared..",
            "org.kerftally.daemon.planning..",
            "org.kerftally.daemon.station..",
            "org.kerftally.daemon.stock..",
            "org.kerftally.daemon.calibration..",
            "org.kerftally.daemon.conformance..")
        .check(all);
  }

  @Test
  void theRuleOfPurityCatchesWhatIsNotPure() {
    assertThatThrownBy(() -> pure("org.kerftally.daemon.service..").check(all))
        .isInstanceOf(AssertionError.class);
  }

  @Test
  void packagesOfTheDaemonFormNoCycle() {
    slices().matching("org.kerftally.daemon.(*)..").should().beFreeOfCycles().check(all);
  }

  @Test
  void noPackageIsADrawerForOddments() {
    noClasses()
        .should()
        .resideInAnyPackage("..util..", "..utils..", "..common..", "..helper..", "..manager..")
        .check(all);
  }
}
