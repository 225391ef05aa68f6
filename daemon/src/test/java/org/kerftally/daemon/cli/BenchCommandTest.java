package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.CompletableFuture;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/** Runs the verb over a folder of small instances whose optima are plain to see. */
class BenchCommandTest {

  @TempDir private Path folder;

  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  @BeforeEach
  void write() throws IOException {
    Path one = Files.createDirectories(folder.resolve("one"));
    Files.writeString(one.resolve("halves.txt"), "1\n10\n5 5\n");
    Files.writeString(one.resolve("thirds.txt"), "1\n10\n3 9\n");
    Path several = Files.createDirectories(folder.resolve("several"));
    Files.writeString(several.resolve("two.txt"), "2\n10 1 10\n6 9 7\n1\n5 4\n");
    Path jobs = Files.createDirectories(folder.resolve("jobs"));
    Files.writeString(jobs.resolve("job.csv"), "part,length,qty,material\nrail,497,4,pine\n");
    Files.writeString(jobs.resolve("job.stock.csv"), "material,length,qty,cost\npine,1000,,1\n");
    Files.writeString(jobs.resolve("known.csv"), "job,2\n");
  }

  private int bench(String... arguments) {
    String[] all = new String[arguments.length + 1];
    all[0] = "bench";
    System.arraycopy(arguments, 0, all, 1, arguments.length);
    CommandLine line = Main.commandLine(new CompletableFuture<>());
    line.setOut(new PrintWriter(out));
    line.setErr(new PrintWriter(err));
    return line.execute(all);
  }

  private String optima(String text) throws IOException {
    return Files.writeString(folder.resolve("optima.csv"), text).toString();
  }

  @Test
  void printsALineAnInstanceAndATableAClass() throws IOException {
    String csv = folder.resolve("rows.csv").toString();
    String known = optima("halves,3\nthirds,3\ntwo,24\njob,2\n");

    int code =
        bench(folder.toString(), "--optima", known, "--time-limit", "60", "--assert", "--csv", csv);

    assertThat(err.toString()).isEmpty();
    assertThat(code).isEqualTo(ExitCodes.DONE);
    assertThat(out.toString()).contains("halves", "proven", "| one ", "| several ", "| jobs ");
    assertThat(Files.readString(folder.resolve("rows.csv")).lines().toList())
        .hasSize(5)
        .anyMatch(line -> line.startsWith("two,several,4,3,24,24,24,true,"))
        .anyMatch(line -> line.startsWith("job,jobs,4,2,2,2,2,true,"));
  }

  @Test
  void endsWithOneWhenAKnownOptimumIsContradicted() throws IOException {
    int code = bench(folder.toString(), "--optima", optima("halves,4\n"), "--time-limit", "60");

    assertThat(code).isEqualTo(ExitCodes.WRONG_INPUT);
    assertThat(out.toString()).contains("WRONG: cost below the known optimum");
  }

  @Test
  void namesFileAndLineOfABadInstance() throws IOException {
    Files.writeString(folder.resolve("one/bad.txt"), "2\n10\n5 5\n5\n");

    int code = bench(folder.toString());

    assertThat(code).isEqualTo(ExitCodes.WRONG_INPUT);
    assertThat(err.toString()).contains("bad.txt, line 4: 1 columns, expected 2");
    assertThat(out.toString()).isEmpty();
  }

  @Test
  void makesInstancesByNameAndListsTheNamesThereAre() {
    int made = bench("--generate", "schwerin-1:7:2", "--warm-up", "0", "--cpu-time");
    int unknown = bench("--generate", "nonsense:7:2");
    int none = bench();

    assertThat(made).isEqualTo(ExitCodes.DONE);
    assertThat(out.toString()).contains("schwerin-1-7-0", "schwerin-1-7-1");
    assertThat(unknown).isEqualTo(ExitCodes.WRONG_USAGE);
    assertThat(err.toString()).contains("shop-offcut");
    assertThat(none).isEqualTo(ExitCodes.WRONG_USAGE);
  }
}
