package org.kerftally.daemon.cli.demo;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Path;
import java.util.concurrent.CompletableFuture;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import picocli.CommandLine;

/** The demo as a person starts it. */
final class DemoIT {

  @TempDir Path temp;

  @ParameterizedTest
  @ValueSource(strings = {"opcua", "mqtt"})
  void threeJobsAreCutAndTheLogAgreesWithTheSaw(String link) {
    StringWriter out = new StringWriter();
    CommandLine demo =
        new CommandLine(new DemoCommand(new CompletableFuture<>()))
            .setCaseInsensitiveEnumValuesAllowed(true)
            .setOut(new PrintWriter(out));
    Path keep = temp.resolve(link);
    int code = demo.execute("--once", "--link", link, "--speed", "100", "--keep", keep.toString());

    assertThat(out.toString())
        .contains("Comb honey supers", "Hive stands", "Greenhouse frames")
        .contains("Log and truth agree cut by cut");
    assertThat(code).isZero();
    assertThat(keep.resolve("results/comb-honey-supers/sheet.html")).exists();
  }
}
