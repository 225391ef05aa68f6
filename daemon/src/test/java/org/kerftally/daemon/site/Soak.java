package org.kerftally.daemon.site;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * One service, four secured stations, a cut a second at each, and a network that fails every few
 * minutes, for as long as is asked for. Not in the normal build: {@code mvn verify -Psoak}.
 *
 * <p>System properties: {@code kerftally.soak.minutes} (5), {@code kerftally.soak.speed} (5, the
 * devices' speed), {@code kerftally.soak.folder} (a temporary one).
 */
final class Soak {

  @TempDir Path temp;

  @Test
  void everyCutIsInTheLogOnceHoweverLongItRuns() throws Exception {
    String named = System.getProperty("kerftally.soak.folder");
    Mosquitto.require();
    List<String> differences = run(named == null ? temp : Path.of(named));
    assertThat(differences).isEmpty();
  }

  private static List<String> run(Path folder) throws IOException, InterruptedException {
    Files.createDirectories(folder);
    Duration length = Duration.ofMinutes(Integer.getInteger("kerftally.soak.minutes", 5));
    double speed = Double.parseDouble(System.getProperty("kerftally.soak.speed", "5"));
    try (SoakRun run = new SoakRun(folder, length, speed)) {
      return run.run();
    }
  }

  /** Runs it outside a build: the folder is the first argument. */
  public static void main(String[] arguments) throws Exception {
    List<String> differences = run(Path.of(arguments[0]));
    differences.forEach(System.out::println);
    System.exit(differences.isEmpty() ? 0 : 1);
  }
}
