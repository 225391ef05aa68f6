package org.kerftally.protocol;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.catchThrowableOfType;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.config.SecretPlace;
import org.kerftally.config.StationConfig;
import org.kerftally.config.tls.KeyFiles;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.protocol.certificates.SiteCertificate;
import org.kerftally.protocol.probe.ProbeException;
import org.kerftally.protocol.probe.SignalProbe;
import org.kerftally.protocol.probe.SignalReading;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;
import org.kerftally.sim.opcua.ServerSecurity;

/**
 * Writes each entry of a station over OPC UA wrong once, and holds the text that names signal,
 * place and mend. The files are read as a site's are.
 */
final class WrongEntriesTest {

  private static final String NODE = "nsu=urn:kerftally:positioner;s=Positioner.";

  private static SimDevice device;
  private static OpcUaDeviceServer server;

  @TempDir private Path folder;

  @BeforeAll
  static void start() {
    device =
        SimDevice.open(SimConfig.standard("saw1").withSpeed(40).withOperator(OperatorModel.ABSENT));
    server = new OpcUaDeviceServer(device, 0);
  }

  @AfterAll
  static void stop() {
    server.close();
    device.close();
  }

  private static String url() {
    return server.address();
  }

  static Stream<Arguments> entries() {
    return Stream.of(
        entry(
            "a node that is not there",
            "signals: { Enabled: { node: \"" + NODE + "Nope\" } }",
            "signal Enabled: node ns=2;s=Positioner.Nope cannot be read (Bad_NodeIdUnknown); check"
                + " link.opcua.signals.Enabled and the device's access rights"),
        entry(
            "a path that is not there",
            "signals: { Paused: { path: Positioner/Pausd } }",
            "signal Paused: no node Objects/Positioner/Pausd in namespace urn:kerftally:positioner"
                + " at {url}; check link.opcua.signals.Paused against the device's address space:"
                + " Objects/Positioner is there and holds AcknowledgeCount, ActiveSequence, BootId,"
                + " CutCount, DefectCount, DefectPosition, Enabled, FaultCode, FaultText,"
                + " HomingAttained, LastCutBoot, LastCutCount and 19 more"),
        entry(
            "a path whose folder is not there",
            "signals: { Paused: { path: Positionr/Paused } }",
            "signal Paused: no node Objects/Positionr/Paused in namespace urn:kerftally:positioner"
                + " at {url}; check link.opcua.signals.Paused against the device's address space:"
                + " Objects is there and holds Positioner, Aliases, Locations, Server"),
        entry(
            "a namespace that is not there, in a node",
            "signals: { HomingAttained: { node: \"nsu=urn:other;s=Homed\" } }",
            "signal HomingAttained: {url} has no namespace of nsu=urn:other;s=Homed; it has"
                + " urn:kerftally:sim-device:saw1, urn:kerftally:positioner; check"
                + " link.opcua.signals.HomingAttained"),
        entry(
            "a namespace that is not there, of a path",
            "signals: { HomingAttained: { path: Positioner/HomingAttained,"
                + " namespace: \"urn:other\" } }",
            "signal HomingAttained: {url} has no namespace urn:other; check the endpoint and"
                + " `namespace`: it has urn:kerftally:sim-device:saw1, urn:kerftally:positioner"),
        entry(
            "a namespace that is not there, of everything",
            "namespace: \"urn:other\"",
            "{url} has no namespace urn:other; check the endpoint, or map every signal under"
                + " link.opcua.signals or say under link.opcua.lacks what stands in: it has"
                + " urn:kerftally:sim-device:saw1, urn:kerftally:positioner"),
        entry(
            "a text where a number belongs",
            "signals: { CutCount: { node: \"" + NODE + "BootId\" } }",
            "signal CutCount (node "
                + NODE
                + "BootId) is String {boot}; expected a whole number;"
                + " check link.opcua.signals.CutCount"),
        entry(
            "a text where a position belongs",
            "signals: { PositionActualValue: { path: Positioner/BootId } }",
            "signal PositionActualValue (node Objects/Positioner/BootId) is String {boot}; expected"
                + " a number; check link.opcua.signals.PositionActualValue"),
        entry(
            "another type than the map says",
            "signals: { TargetReached: { path: Positioner/TargetReached, type: Int32 } }",
            "signal TargetReached: node ns=2;s=Positioner.TargetReached is of type Boolean, the map"
                + " says Int32; write `type: Boolean` at link.opcua.signals.TargetReached, or map"
                + " the node that was meant"),
        entry(
            "another unit than the device's",
            "signals: { PositionActualValue: { path: Positioner/PositionActualValue, unit: in } }",
            "signal PositionActualValue: node ns=2;s=Positioner.PositionActualValue has the"
                + " unit mm (EngineeringUnits MMT), the map takes one unit of it as 25.4 mm; write `unit:"
                + " mm` at link.opcua.signals.PositionActualValue, or have the device's property"
                + " mended"),
        entry(
            "a state that has no meaning",
            "signals: { SawState: { path: Positioner/SawState, values: { 7: idle } } }",
            "signal SawState (node Objects/Positioner/SawState) is \"{saw}\", which `values` does"
                + " not name, so no target would be sent; add what it means (idle, guard-down,"
                + " blade-out or unknown). Example: `values: { 7: idle, {saw}: unknown }`"),
        entry(
            "a node that may not be written",
            "move: { how: sequence, position: { node: \""
                + NODE
                + "TargetPosition\" }, sequence: { node: \""
                + NODE
                + "PromptLength\" } }",
            "signal move.position: node ns=2;s=Positioner.TargetPosition may not be written by this"
                + " user; give link.opcua.identity the right to, or check"
                + " link.opcua.move.position"),
        entry(
            "a text where a number is written",
            "move: { how: sequence, position: { node: \""
                + NODE
                + "PromptLength\" }, sequence: { node: \""
                + NODE
                + "PromptText\" } }",
            "signal move.sequence: node ns=2;s=Positioner.PromptText is of type String, expected a"
                + " number; check link.opcua.move.sequence"));
  }

  private static Arguments entry(String what, String yaml, String fault) {
    return Arguments.of(what, yaml, fault);
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("entries")
  void aWrongEntryIsNamedWithItsPlaceAndItsMend(String what, String yaml, String fault)
      throws Exception {
    String wanted =
        fault
            .replace("{url}", url())
            .replace("{boot}", device.snapshot().boot())
            .replace("{saw}", String.valueOf(device.snapshot().sawState().code()));

    assertThat(faults(station(url(), yaml))).as(what).containsExactly(wanted);
  }

  @Test
  void nothingIsWrongWithADeviceThatKeepsTheContract() throws Exception {
    assertThat(faults(station(url(), "publishing: 20 ms"))).isEmpty();
  }

  @Test
  void oneWrongEntryHidesNoOther() throws Exception {
    String yaml =
        "signals: { Enabled: { node: \""
            + NODE
            + "Nope\" }, Paused: { path: Positioner/Pausd }, CutCount: { path: Positioner/BootId"
            + " } }";

    assertThat(faults(station(url(), yaml)))
        .hasSize(3)
        .anyMatch(f -> f.startsWith("signal Enabled: "))
        .anyMatch(f -> f.startsWith("signal Paused: "))
        .anyMatch(f -> f.startsWith("signal CutCount "));
  }

  @Test
  void aPortWhereNothingListensIsNamed() throws Exception {
    int port;
    try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      port = free.getLocalPort();
    }
    String nobody = "opc.tcp://127.0.0.1:" + port;

    assertThat(refusal(station(nobody, "publishing: 20 ms")))
        .isEqualTo(
            nobody
                + " takes no connection; check address and port, and that the device is on and its"
                + " OPC UA server runs");
  }

  @Test
  void aHostNobodyKnowsIsNamed() throws Exception {
    // RFC 6761, 6.4: no name under .invalid is ever known.
    String nowhere = "opc.tcp://feeder.invalid:4840";

    assertThat(refusal(station(nowhere, "plain-text: accepted")))
        .isEqualTo("the host of " + nowhere + " is not known; check the name");
  }

  @Test
  void aCertificateThatNobodyAcceptedIsNamedWithItsFingerprint() throws Exception {
    try (OpcUaDeviceServer secured =
        new OpcUaDeviceServer(device, 0, ServerSecurity.in(folder.resolve("device")))) {
      String reason = refusal(station(secured.address(), "security: best"));

      SiteCertificate waiting =
          CertificateFolder.of(folder).list().stream()
              .filter(c -> c.place() == SiteCertificate.Place.WAITING)
              .findFirst()
              .orElseThrow();
      assertThat(reason)
          .isEqualTo(
              "the certificate of "
                  + secured.address()
                  + " is not trusted yet, SHA-256 "
                  + waiting.fingerprint()
                  + "; compare it with the device's, then: kerftally certificates accept "
                  + waiting.fingerprint()
                  + " -c FILE");
    }
  }

  @Test
  void aWrongPasswordIsNamedByItsPlaceAlone() throws Exception {
    Path right = Files.writeString(folder.resolve("right.password"), "acacia honey");
    Path wrong = Files.writeString(folder.resolve("wrong.password"), "lime honey");
    ServerSecurity security =
        ServerSecurity.in(folder.resolve("device"))
            .withUser("kerftally", new SecretPlace(right, null));
    try (OpcUaDeviceServer secured = new OpcUaDeviceServer(device, 0, security)) {
      CertificateFolder certificates = CertificateFolder.of(folder);
      var shown = KeyFiles.certificates(folder.resolve("device/own/positioner.der")).get(0);
      assertThat(certificates.keepWaiting(shown)).isTrue();
      assertThat(certificates.accept(certificates.list().get(0).fingerprint())).isTrue();

      String yaml = "security: best, identity: { user: kerftally, password-file: " + wrong + " }";
      assertThat(refusal(station(secured.address(), yaml)))
          .isEqualTo(
              secured.address()
                  + " does not let in the user kerftally; check the name and the password in the "
                  + new SecretPlace(wrong, null));
    }
  }

  private StationConfig station(String endpoint, String more) throws IOException {
    Path file = folder.resolve("kerftally.yaml");
    Files.writeString(
        file,
        String.join(
            "\n",
            "folder: .",
            "board: off",
            "stations:",
            "  - name: saw1",
            "    layout: outfeed-stop",
            "    kerf: 3.2 mm",
            "    lead-trim: 10 mm",
            "    travel: { min: 20 mm, max: 4000 mm }",
            "    link:",
            "      opcua: { endpoint: \"" + endpoint + "\", timeout: 10 s, " + more + " }",
            ""));
    ConfigResult read = ConfigReader.read(file);
    assertThat(read).isInstanceOf(ConfigResult.Good.class);
    return ((ConfigResult.Good) read).config().stations().get(0);
  }

  private List<String> faults(StationConfig station) throws Exception {
    try (SignalProbe probe = Probes.open(station, folder, Clock.systemUTC())) {
      List<SignalReading> readings = probe.read();
      probe.watch();
      List<String> faults = new ArrayList<>();
      readings.stream().map(SignalReading::fault).filter(Objects::nonNull).forEach(faults::add);
      faults.addAll(probe.faults());
      return faults.stream().distinct().toList();
    }
  }

  private String refusal(StationConfig station) {
    ProbeException refused =
        catchThrowableOfType(
            ProbeException.class,
            () -> {
              try (SignalProbe probe = Probes.open(station, folder, Clock.systemUTC())) {
                assertThat(probe.faults()).as("it was let in").isNull();
              }
            });
    return refused.reason();
  }
}
