package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

final class PlanCommandTest {

  @TempDir Path folder;

  private Path file(String name, String... lines) throws IOException {
    return Files.write(folder.resolve(name), List.of(lines));
  }

  /**
   * The cutting stock example of Gilmore and Gomory's method in V. Chvátal, "Linear Programming"
   * (1983), chapter 13: widths 45, 36, 31, 14 from rolls of 100; its optimum is 453 rolls.
   */
  private Path textbook() throws IOException {
    file("chvatal.stock.csv", "material,length,qty,cost,kind,label", "raw,100,,1,new,");
    return file(
        "chvatal.csv", "part,length,qty", "p45,45,97", "p36,36,610", "p31,31,395", "p14,14,211");
  }

  private static List<JsonNode> objects(Shell shell) throws JsonProcessingException {
    List<JsonNode> objects = new ArrayList<>();
    for (String line : shell.out().lines().toList()) {
      objects.add(new ObjectMapper().readTree(line));
    }
    return objects;
  }

  @Test
  void aTextbookJobIsPlannedToItsPublishedOptimum() throws IOException {
    Shell shell = Shell.run("plan", "--json", textbook());

    assertThat(shell.err()).isEmpty();
    assertThat(shell.code()).isZero();
    JsonNode plan = objects(shell).get(0);
    assertThat(plan.path("cost").decimalValue()).isEqualByComparingTo("453");
    assertThat(plan.path("bound").decimalValue()).isEqualByComparingTo("453");
    assertThat(plan.path("proven").booleanValue()).isTrue();
    assertThat(plan.path("status").textValue()).isEqualTo("planned");
  }

  @Test
  void theJsonKeepsTheContract() throws IOException {
    file("stock.csv", "material,length,qty,cost,kind,label", "pine,2440,9,,new,");
    Path job = file("supers.csv", "# job: Comb honey supers", "part,length,qty", "side,505,4");

    Shell shell = Shell.run("plan", "--json", "--kerf", "3.2 mm", "--trim", "10 mm", job);

    assertThat(shell.out().lines()).hasSize(1);
    JsonNode plan = objects(shell).get(0);
    assertThat(plan.fieldNames())
        .toIterable()
        .contains(
            "job",
            "file",
            "status",
            "proven",
            "cost",
            "bound",
            "elapsed_ms",
            "kerf_mm",
            "lead_trim_mm",
            "tail_mm",
            "sticks",
            "short",
            "problems");
    assertThat(plan.path("job").textValue()).isEqualTo("Comb honey supers");
    assertThat(plan.path("file").textValue()).isEqualTo(job.toString());
    assertThat(plan.path("kerf_mm").decimalValue()).isEqualByComparingTo("3.2");
    assertThat(plan.path("lead_trim_mm").decimalValue()).isEqualByComparingTo("10");
    JsonNode stick = plan.path("sticks").path(0);
    assertThat(stick.path("material").textValue()).isEqualTo("pine");
    assertThat(stick.path("length_mm").decimalValue()).isEqualByComparingTo("2440");
    assertThat(stick.path("kind").textValue()).isEqualTo("new");
    assertThat(stick.get("label").isNull()).isTrue();
    assertThat(stick.path("repeat").intValue()).isEqualTo(1);
    assertThat(stick.path("cuts")).hasSize(4);
    assertThat(stick.path("cuts").path(0).path("part").textValue()).isEqualTo("side");
    assertThat(stick.path("cuts").path(0).path("length_mm").decimalValue())
        .isEqualByComparingTo("505");
    assertThat(stick.path("rest_mm").decimalValue()).isEqualByComparingTo("397.2");
    assertThat(stick.path("offcut_mm").decimalValue()).isEqualByComparingTo("397.2");
  }

  @Test
  void aBadFileAmongGoodOnesIsRefusedAndTheOthersArePlanned() throws IOException {
    Path good = textbook();
    file("bad.stock.csv", "material,length,qty", "raw,100,");
    Path bad = file("bad.csv", "part,length,qty", "p45,-45,97", "p36,36,many");

    Shell shell = Shell.run("plan", "--json", bad, good);

    assertThat(shell.code()).isEqualTo(1);
    List<JsonNode> plans = objects(shell);
    assertThat(plans)
        .extracting(p -> p.path("status").textValue())
        .containsExactly("refused", "planned");
    assertThat(plans.get(0).path("problems")).hasSize(2);
    assertThat(plans.get(0).path("problems").path(0).path("line").intValue()).isEqualTo(2);
    assertThat(plans.get(0).path("problems").path(0).path("column").textValue())
        .isEqualTo("length");
    assertThat(shell.err().lines()).hasSize(2).allMatch(line -> line.startsWith("bad.csv, line"));
  }

  @Test
  void numbersThatCannotBePlannedAreRefusedWithAMendAndTheOthersArePlanned() throws IOException {
    Path good = textbook();
    file(
        "odd.stock.csv",
        "material,length,qty,cost",
        "pine,2440,,0.000001",
        "pine,3000,,99999999999.5");
    Path odd = file("odd.csv", "part,length,qty", "side,505,40");

    Shell shell = Shell.run("plan", "--json", odd, good);

    assertThat(shell.code()).isEqualTo(1);
    List<JsonNode> plans = objects(shell);
    assertThat(plans)
        .extracting(p -> p.path("status").textValue())
        .containsExactly("refused", "planned");
    JsonNode problem = plans.get(0).path("problems").path(0);
    assertThat(problem.path("file").textValue()).isEqualTo(odd.toString());
    assertThat(problem.path("message").textValue()).contains("cannot be planned", "dearest stick");
    assertThat(problem.path("hint").textValue()).contains("round the costs");
    assertThat(shell.err().lines()).hasSize(1).allMatch(line -> line.startsWith(odd + ": "));
  }

  @Test
  void whatCannotBeMadeIsNamedPartByPartAndEndsWithOne() throws IOException {
    file("stock.csv", "material,length,qty", "pine,1000,1");
    Path job = file("supers.csv", "part,length,qty", "side,505,1", "end,413,3");

    Shell shell = Shell.run("plan", "--json", job);

    assertThat(shell.code()).isEqualTo(1);
    JsonNode plan = objects(shell).get(0);
    assertThat(plan.path("status").textValue()).isEqualTo("short");
    int missing = 0;
    for (JsonNode part : plan.path("short")) {
      missing += part.path("missing").intValue();
    }
    assertThat(missing).isEqualTo(2);
    assertThat(shell.err()).contains("cannot be made from this stock");
  }

  @Test
  void aStockThatIsNamedTakesThePlaceOfTheOneBesideTheJob() throws IOException {
    Path job = textbook();
    Path other = file("other.csv", "material,length,qty,cost", "raw,200,,1");

    JsonNode plan = objects(Shell.run("plan", "--json", "--stock", other, job)).get(0);

    assertThat(plan.path("sticks")).isNotEmpty();
    for (JsonNode stick : plan.path("sticks")) {
      assertThat(stick.path("length_mm").decimalValue()).isEqualByComparingTo("200");
    }
  }

  @Test
  void aKerfMayBeGivenInInches() throws IOException {
    file("stock.csv", "material,length,qty", "pine,96 in,5");
    Path job = file("stands.csv", "# units: in", "part,length,qty", "leg,16-1/4,10");

    JsonNode plan = objects(Shell.run("plan", "--json", "--kerf", "1/8 in", job)).get(0);

    assertThat(plan.path("kerf_mm").decimalValue()).isEqualByComparingTo("3.175");
    assertThat(plan.path("cost").intValue()).isEqualTo(2);
    JsonNode first = plan.path("sticks").path(0);
    assertThat(first.path("rest_mm").decimalValue()).isEqualByComparingTo("358.775");
  }

  @Test
  void aStockFileMeantByAPatternIsNoJob() throws IOException {
    Path job = textbook();

    Shell shell = Shell.run("plan", "--json", job, folder.resolve("chvatal.stock.csv"));

    assertThat(shell.code()).isZero();
    assertThat(objects(shell)).hasSize(1);
  }

  @Test
  void wrongUsageEndsWithTwoAndSaysWhatToWrite() throws IOException {
    Path job = textbook();

    assertThat(Shell.run("plan").code()).isEqualTo(2);
    assertThat(Shell.run("plan", "--threads", "0", job).code()).isEqualTo(2);
    assertThat(Shell.run("plan", "--time-limit", "0", job).code()).isEqualTo(2);
    assertThat(Shell.run("plan", "--kerf", "wide", job).code()).isEqualTo(2);
    assertThat(Shell.run("plan", "--kerf", "-1 mm", job).err()).contains("negative");
    assertThat(Shell.run("plan", folder.resolve("chvatal.stock.csv")).err())
        .contains("name the job files");
  }

  @Test
  void aFileThatIsNotThereIsSaidSo() {
    Shell shell = Shell.run("plan", folder.resolve("nowhere.csv"));

    assertThat(shell.code()).isEqualTo(1);
    assertThat(shell.err()).contains("nowhere.csv", "no such file");
  }

  private List<Path> twoJobs(String firstQuantity) throws IOException {
    file("stock.csv", "material,length,qty,cost", "pine,3000,6,1");
    return List.of(
        file(
            "supers.csv",
            "# job: Supers",
            "# priority: 2",
            "part,length,qty",
            "side,2000," + firstQuantity),
        file("frames.csv", "# job: Frames", "# priority: 1", "part,length,qty", "side,1000,4"));
  }

  @Test
  void jobsPlannedTogetherShareSticksAndKeepTheirParts() throws IOException {
    List<Path> jobs = twoJobs("4");

    Shell shell = Shell.run("plan", "--json", "--together", jobs.get(0), jobs.get(1));

    assertThat(shell.err()).isEmpty();
    assertThat(shell.code()).isZero();
    assertThat(shell.out().lines()).hasSize(1);
    JsonNode plan = objects(shell).get(0);
    assertThat(plan.path("together"))
        .extracting(job -> job.path("job").textValue(), job -> job.path("status").textValue())
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple("Supers", "planned"),
            org.assertj.core.groups.Tuple.tuple("Frames", "planned"));
    assertThat(plan.path("cost").intValue()).isEqualTo(4);
    assertThat(plan.path("sticks")).hasSize(1);
    assertThat(plan.path("sticks").path(0).path("cuts"))
        .extracting(
            cut -> cut.path("job").textValue(),
            cut -> cut.path("part").textValue(),
            cut -> cut.path("length_mm").intValue())
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple("Supers", "side", 2000),
            org.assertj.core.groups.Tuple.tuple("Frames", "side", 1000));
  }

  @Test
  void ofJobsPlannedTogetherTheLessUrgentStaysShort() throws IOException {
    List<Path> jobs = twoJobs("9");

    Shell shell = Shell.run("plan", "--json", "--together", jobs.get(0), jobs.get(1));

    assertThat(shell.code()).isEqualTo(1);
    JsonNode plan = objects(shell).get(0);
    assertThat(plan.path("together"))
        .extracting(job -> job.path("status").textValue())
        .containsExactly("short", "planned");
    assertThat(plan.path("short")).hasSize(1);
    assertThat(plan.path("short").path(0).path("job").textValue()).isEqualTo("Supers");
    assertThat(plan.path("short").path(0).path("missing").intValue()).isEqualTo(3);
    assertThat(shell.err()).contains("side [Supers]");
  }

  @Test
  void jobsPlannedTogetherAreShownToPeopleWithTheirNames() throws IOException {
    List<Path> jobs = twoJobs("4");

    Shell shell = Shell.run("plan", "--together", jobs.get(0), jobs.get(1));

    assertThat(shell.out()).contains("Supers + Frames", "side [Supers] 2000 mm", "4 sticks");
  }

  @Test
  void aBadJobIsLeftOutAndTheOthersArePlannedTogether() throws IOException {
    List<Path> jobs = twoJobs("4");
    Path bad = file("bad.csv", "part,length,qty", "side,-1,4");
    Path inches = file("inches.csv", "# units: in", "part,length,qty", "side,10,4");

    Shell shell = Shell.run("plan", "--json", "--together", jobs.get(0), bad, inches, jobs.get(1));

    assertThat(shell.code()).isEqualTo(1);
    List<JsonNode> all = objects(shell);
    assertThat(all).hasSize(3);
    assertThat(all.get(0).path("status").textValue()).isEqualTo("refused");
    assertThat(all.get(1).path("problems").path(0).path("column").textValue()).isEqualTo("units");
    assertThat(all.get(2).path("together")).hasSize(2);
  }

  @Test
  void theTableSaysWhatComesAfterCost() throws IOException {
    Shell shell = Shell.run("plan", textbook());

    assertThat(shell.out().replace('\n', ' '))
        .contains("After cost, in this order: 453 sticks from the rack (proven), ")
        .contains(" open at once (proven), ");
  }

  @Test
  void theLimitOfOpenPartsIsTakenFromTheCommandLine() throws IOException {
    Shell shell = Shell.run("plan", "--json", "--open-parts", "4", textbook());

    assertThat(objects(shell).get(0).at("/figures/open_parts_limit").intValue()).isEqualTo(4);

    Shell none = Shell.run("plan", "--open-parts", "0", textbook());
    assertThat(none.code()).isEqualTo(ExitCodes.WRONG_USAGE);
    assertThat(none.err()).contains("--open-parts must be at least 1, not 0");
  }
}
