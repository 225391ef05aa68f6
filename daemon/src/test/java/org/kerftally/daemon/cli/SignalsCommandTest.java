package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.site.SiteFolder;
import org.kerftally.protocol.probe.SignalReading;
import org.kerftally.sim.Button;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;
import picocli.CommandLine;

final class SignalsCommandTest {

  private static SimDevice device;
  private static OpcUaDeviceServer server;

  @TempDir private Path root;
  private SiteFolder site;

  @BeforeAll
  static void start() {
    device = SimDevice.open(SimConfig.standard("saw1").withOperator(OperatorModel.ABSENT));
    server = new OpcUaDeviceServer(device, 0);
  }

  @AfterAll
  static void stop() {
    server.close();
    device.close();
  }

  @BeforeEach
  void configure() throws IOException {
    site = new SiteFolder(root.resolve("site"));
    site.configure("opcua: { endpoint: \"" + server.address() + "\", timeout: 10 s }");
  }

  @Test
  void eachSignalIsALineAndEachChangeOneMore() {
    press(Button.ACKNOWLEDGE);

    Shell shell = Shell.run("signals", "-c", site.config(), "--seconds", 6);

    assertThat(shell.err()).isEmpty();
    assertThat(shell.code()).isZero();
    assertThat(shell.out().lines().findFirst().orElseThrow())
        .matches(" +signal +where +value +changed");
    assertThat(shell.out().lines())
        .anyMatch(l -> l.matches(" +CutCount +node Objects/Positioner/CutCount +0 +no change seen"))
        .anyMatch(
            l ->
                l.matches(
                    "  [0-9:.]{10}  AcknowledgeCount  node Objects/Positioner/AcknowledgeCount"
                        + "  [0-9]+ -> [0-9]+  \\(change [0-9]+\\)"));
    assertThat(shell.out()).doesNotContain("\u001b");
  }

  @Test
  void eachChangeIsToldWithItsTimeAndItsNumber() {
    Watched watched = new Watched();
    assertThat(watched.see(List.of(reading("Ack", "false")))).isEmpty();
    assertThat(watched.see(List.of(reading("Ack", "true")))).hasSize(1);
    assertThat(watched.see(List.of(reading("Ack", "true")))).isEmpty();

    assertThat(watched.see(List.of(reading("Ack", "false"))))
        .extracting(Watched.Change::text)
        .containsExactly("Ack  node Objects/Panel/Ack  true -> false  (change 2)");
    assertThat(watched.changes()).isEqualTo(Map.of("Ack", 2));
  }

  private static SignalReading reading(String name, String understood) {
    return new SignalReading(
        name, "node Objects/Panel/" + name, "x", understood, null, false, "good", null, null);
  }

  @Test
  void aPositionIsShownAsALengthAtTheBladeToo() throws IOException {
    String yaml = Files.readString(site.config());
    Files.writeString(
        site.config(),
        yaml.replace("    link:", "    calibration: { offset: 4500 mm }\n    link:"));
    site.stock();

    Shell shell = Shell.run("check", "-c", site.config(), "--connect", "--watch", 0);

    assertThat(shell.err()).isEmpty();
    assertThat(shell.out().lines())
        .anyMatch(
            l ->
                l.matches(
                    " +PositionActualValue .* [0-9.]+ mm, 4[5-9][0-9]{2}[0-9.]* mm at the"
                        + " blade .*"));
    assertThat(shell.out()).contains("Nothing to mend.");
  }

  @Test
  void onATerminalTheTableIsRedrawnInPlaceUntilItIsStopped() {
    CompletableFuture<Void> stop = new CompletableFuture<>();
    stop.completeOnTimeout(null, 8, TimeUnit.SECONDS);
    StringWriter out = new StringWriter();

    int code =
        new CommandLine(new SignalsCommand(stop, true))
            .setOut(new PrintWriter(out))
            .execute("-c", site.config().toString(), "--seconds", "600");

    assertThat(code).isZero();
    int lines = out.toString().indexOf("\u001b[") < 0 ? 0 : rows(out.toString());
    assertThat(lines).isGreaterThan(20);
    assertThat(out.toString()).contains("\u001b[" + lines + "A\u001b[J");
  }

  private static int rows(String drawn) {
    return (int) drawn.substring(0, drawn.indexOf("\u001b[")).lines().count();
  }

  @Test
  void aStationThatIsNotThereIsWrongUsageWithTheNamesThatAre() {
    Shell shell = Shell.run("signals", "-c", site.config(), "--station", "saw9");

    assertThat(shell.code()).isEqualTo(2);
    assertThat(shell.err()).contains("--station is saw9; expected one of [saw1]");
  }

  @Test
  void aTimeOutOfBoundsIsWrongUsage() {
    assertThat(Shell.run("signals", "-c", site.config(), "--seconds", 0).code()).isEqualTo(2);
    assertThat(Shell.run("check", "-c", site.config(), "--watch", 601).code()).isEqualTo(2);
  }

  @Test
  void whatChangedIsToldByCheckToo() throws IOException {
    site.stock();
    press(Button.REJECTED);

    Shell shell = Shell.run("check", "-c", site.config(), "--connect", "--watch", 6);

    assertThat(shell.err()).isEmpty();
    assertThat(shell.code()).isZero();
    assertThat(shell.out().lines())
        .anyMatch(l -> l.startsWith("  Changed within 6 s: ") && l.contains("RejectCount"))
        .anyMatch(l -> l.startsWith("  No change seen within 6 s: ") && l.contains("CutCount"))
        .anyMatch(l -> l.matches("  Round trip: .* ms .*of 20 reads of all signals.*"));
  }

  /** Presses every half second for some seconds: while it is watched it changes for sure. */
  private static void press(Button button) {
    for (int i = 1; i <= 24; i++) {
      var unused =
          CompletableFuture.runAsync(
              () -> device.press(button),
              CompletableFuture.delayedExecutor(500L * i, TimeUnit.MILLISECONDS));
    }
  }

  @Test
  void aValueThatIsNotUnderstoodIsShownAsTheDeviceSaysIt() {
    Instant now = Instant.parse("2027-03-01T09:27:30Z");
    List<String> lines =
        SignalTable.live(
            List.of(
                new SignalReading(
                    "CutCount",
                    "topic hall/cuts",
                    "twelve",
                    null,
                    now.minusSeconds(2),
                    false,
                    "good",
                    now.minusMillis(1_500),
                    "wrong")),
            Map.of("CutCount", 3),
            now);

    assertThat(lines)
        .containsExactly(
            "  signal    where            value                    changed",
            "  CutCount  topic hall/cuts  twelve (not understood)  3 times, last 1.5 s ago");
  }
}
