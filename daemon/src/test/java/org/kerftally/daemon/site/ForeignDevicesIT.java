package org.kerftally.daemon.site;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.math.BigDecimal;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.function.UnaryOperator;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.config.SiteConfig;
import org.kerftally.config.tls.Fingerprint;
import org.kerftally.daemon.cli.Site;
import org.kerftally.daemon.peers.NodePeer;
import org.kerftally.daemon.peers.NodePeer.TrueCut;
import org.kerftally.daemon.peers.PeerCertificate;
import org.kerftally.protocol.Probes;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.protocol.probe.SignalProbe;
import org.kerftally.protocol.probe.SignalReading;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationEvent.CutBooked;

/**
 * Runs a job of fifty parts on devices that keep no contract, on stacks nobody here wrote
 * (node-opcua and MQTT.js), wired by nothing but a configuration; then compares the log with each
 * device's own record, stroke by stroke.
 */
final class ForeignDevicesIT {

  private static final int SIDES = 20;
  private static final int ENDS = 30;
  private static final Duration PATIENCE = Duration.ofMinutes(8);
  private static final String[] OPTIONS = {"--speed", "40", "--seconds", "900"};

  /** Half of what the device shows last: it writes its record in its own digits. */
  private static final BigDecimal SAME_MM = new BigDecimal("0.02");

  @TempDir Path temp;
  private Programs programs;
  private SiteFolder folder;
  private @Nullable NodePeer peer;
  private @Nullable Site site;

  @BeforeEach
  void open() throws IOException, InterruptedException {
    NodePeer.require();
    programs = new Programs(temp);
    folder = new SiteFolder(temp.resolve("site"));
    folder.stock();
  }

  @AfterEach
  void close() throws Exception {
    if (site != null) {
      site.close();
    }
    if (peer != null) {
      peer.close();
    }
    programs.close();
  }

  private NodePeer started(NodePeer device) {
    peer = device;
    return device;
  }

  private SiteConfig read(String... station) throws IOException {
    List<String> yaml = new ArrayList<>(List.of("folder: .", "board: off", "stations:"));
    yaml.addAll(List.of(station));
    Files.write(folder.config(), yaml);
    ConfigResult read = ConfigReader.read(folder.config());
    assertThat(read).as(read.toString()).isInstanceOf(ConfigResult.Good.class);
    return ((ConfigResult.Good) read).config();
  }

  private void run(String... station) throws Exception {
    site = Site.open(read(station), Clock.systemUTC());
    folder.drop(
        "supers.csv",
        "# job: Comb honey supers",
        "part,length,qty,material",
        "super side,505," + SIDES + ",pine-19x146",
        "super end,413," + ENDS + ",pine-19x146");
    await("the job is complete")
        .atMost(PATIENCE)
        .pollInterval(Duration.ofMillis(250))
        .until(() -> folder.made("supers") == SIDES + ENDS);
    assertThat(folder.rows("select part, wanted, made, short from job_counts"))
        .containsExactlyInAnyOrder(
            "super side," + SIDES + "," + SIDES + ",0", "super end," + ENDS + "," + ENDS + ",0");
  }

  private List<CutBooked> booked() {
    List<CutBooked> cuts = new ArrayList<>();
    if (site != null) {
      site.log()
          .replay(
              recorded -> {
                if (recorded.event() instanceof CutBooked cut) {
                  cuts.add(cut);
                }
              });
    }
    return cuts;
  }

  /** Every stroke of the device is in the log once, with its count, where the device says. */
  private void assertLogIsTheDevicesRecord(NodePeer device, UnaryOperator<BigDecimal> toMm)
      throws IOException {
    await("every stroke is booked")
        .atMost(Duration.ofSeconds(30))
        .untilAsserted(() -> assertThat(booked()).hasSameSizeAs(device.truth()));
    List<CutBooked> booked = booked();
    List<TrueCut> strokes = device.truth();
    for (int i = 0; i < strokes.size(); i++) {
      TrueCut stroke = strokes.get(i);
      CutBooked cut = booked.get(i);
      assertThat(cut.count()).isEqualTo(stroke.count());
      assertThat(cut.position()).isNotNull();
      BigDecimal at = BigDecimal.valueOf(cut.position().nm()).movePointLeft(6);
      assertThat(at).isCloseTo(toMm.apply(stroke.position()), within(SAME_MM));
    }
    assertThat(booked.stream().filter(c -> c.kind() == CutKind.PART)).hasSize(SIDES + ENDS);
    assertThat(booked).allMatch(c -> c.kind() == CutKind.PART || c.kind() == CutKind.TRIM);
  }

  private static org.assertj.core.data.Offset<BigDecimal> within(BigDecimal by) {
    return org.assertj.core.data.Offset.offset(by);
  }

  private static String[] feeder(String machine, String... link) {
    List<String> yaml =
        new ArrayList<>(
            List.of(
                "  - name: saw1",
                "    layout: outfeed-stop",
                "    kerf: 3.2 mm",
                "    lead-trim: 20 mm",
                "    travel: { min: 0.5 in, max: 160 in }",
                "    link:",
                "      opcua:"));
    yaml.addAll(List.of(link));
    String axis = machine + "/Axis1";
    yaml.addAll(
        List.of(
            "        namespace: \"urn:example:feeder\"",
            "        status-word: { path: " + axis + "/StatusWord }",
            "        signals:",
            "          PositionActualValue: { path: " + axis + "/ActPos, type: Double, unit: in }",
            "          HomingAttained: { path: " + axis + "/StatusWord, bit: 14 }",
            "          FaultCode: { node: \"nsu=urn:example:feeder;s=Axis1.ErrorNo\" }",
            "          GuardUp: { path: " + machine + "/Saw/GuardUp }",
            "          BladeIn: { path: " + machine + "/Saw/BladeIn }",
            "          CutCount: { path: " + machine + "/Saw/Strokes }",
            "          AcknowledgeCount: { path: " + machine + "/Panel/AckButton, count: rising }",
            "          StickLoadedCount: { path: " + machine + "/Panel/StickIn, count: rising }",
            "        lacks:",
            "          BootId: connection",
            "          ActiveSequence: remembered",
            "          LastCut: watched",
            "        move:",
            "          how: strobe",
            "          position: { path: " + axis + "/CmdPos, unit: in }",
            "          strobe: { path: " + axis + "/CmdGo }",
            "          echo: { path: " + axis + "/CmdGoEcho }",
            "          error: { path: " + axis + "/CmdErr }"));
    return yaml.toArray(String[]::new);
  }

  private static BigDecimal inchesToMm(BigDecimal inches) {
    return inches.multiply(new BigDecimal("25.4"));
  }

  @Test
  void aFeederInInchesWithAStatusWordAndAStrobeCutsTheJob() throws Exception {
    NodePeer device = started(NodePeer.feeder(temp, OPTIONS));

    run(feeder("Machine", "        endpoint: \"" + device.endpoint() + "\""));

    assertLogIsTheDevicesRecord(device, ForeignDevicesIT::inchesToMm);
  }

  /**
   * The same machine on a server that speaks to those it trusts alone, stands in the folder
   * Machines of OPC 40001-1 and carries the node sets of OPC 40001-1 and of ISA-95 Job Control.
   */
  @Test
  void theFeederBehindSecurityAmongTheNodesOfCompanionSpecificationsCutsTheJob() throws Exception {
    CertificateFolder certificates = CertificateFolder.of(folder.folder);
    certificates.own();
    PeerCertificate shown = PeerCertificate.make(temp, "feeder", "urn:example:feeder-7");
    assertThat(certificates.keepWaiting(shown.certificate())).isTrue();
    assertThat(certificates.accept(Fingerprint.of(shown.certificate()))).isTrue();
    Path password = Files.writeString(temp.resolve("feeder.password"), "smoked oak\n");
    List<String> options = new ArrayList<>(List.of(OPTIONS));
    options.add("--companion");
    options.addAll(List.of(shown.secure(certificates.ownFile(), "kerftally", password)));
    NodePeer device = started(NodePeer.feeder(temp, options.toArray(String[]::new)));

    run(
        feeder(
            "Machines/Machine",
            "        endpoint: \"" + device.endpoint() + "\"",
            "        security: best",
            "        identity: { user: kerftally, password-file: " + password + " }"));

    assertLogIsTheDevicesRecord(device, ForeignDevicesIT::inchesToMm);
  }

  @Test
  void aForeignServersUnitIsComparedWithTheMapsAndEveryRightEntryIsLeftAlone() throws Exception {
    NodePeer device = started(NodePeer.feeder(temp, OPTIONS));
    String endpoint = "        endpoint: \"" + device.endpoint() + "\"";

    assertThat(faults(feeder("Machine", endpoint))).isEmpty();

    String[] millimetres =
        Arrays.stream(feeder("Machine", endpoint))
            .map(line -> line.replace("ActPos, type: Double, unit: in", "ActPos, type: Double"))
            .toArray(String[]::new);
    assertThat(faults(millimetres))
        .singleElement()
        .asString()
        .startsWith("signal PositionActualValue: node ns=")
        .endsWith(
            ";s=Axis1.ActPos has the unit in (EngineeringUnits INH), the map takes one unit of it"
                + " as 1 mm; write `unit: in` at link.opcua.signals.PositionActualValue, or have"
                + " the device's property mended");
  }

  private List<String> faults(String... station) throws Exception {
    SiteConfig config = read(station);
    try (SignalProbe probe =
        Probes.open(config.stations().get(0), folder.folder, Clock.systemUTC())) {
      return probe.read().stream()
          .map(SignalReading::fault)
          .filter(Objects::nonNull)
          .distinct()
          .toList();
    }
  }

  @Test
  void aPusherInCountsTheOtherWayRoundWithAFunctionBlockCutsTheJob() throws Exception {
    NodePeer device = started(NodePeer.pusher(temp, OPTIONS));

    run(
        "  - name: saw1",
        "    layout: infeed-pusher",
        "    kerf: 3.2 mm",
        "    lead-trim: 20 mm",
        "    tail: 60 mm",
        "    travel: { min: 50 mm, max: 4500 mm }",
        "    calibration: { offset: 5000 mm, resolution: 0.0125 mm }",
        "    operator: { stick-loaded: assumed }",
        "    link:",
        "      opcua:",
        "        endpoint: \"" + device.endpoint() + "\"",
        "        namespace: \"urn:example:pusher\"",
        "        signals:",
        "          PositionActualValue:",
        "            { path: Pusher/Axis/ActualPosition, unit: 0.0125 mm, reversed: true }",
        "          Enabled: { path: Pusher/Axis/Ready }",
        "          HomingAttained: { path: Pusher/Axis/Referenced }",
        "          RemoteAllowed: { path: Pusher/Axis/RemoteMode, equals: 2 }",
        "          FaultCode: { path: Pusher/Axis/Alarm }",
        "          SawState:",
        "            { path: Pusher/Saw/Home, values: { true: idle, false: guard-down } }",
        "          CutCount: { path: Pusher/Saw/CutMade, count: rising }",
        "          AcknowledgeCount: { path: Pusher/Panel/Reset, count: rising }",
        "        lacks:",
        "          BootId: connection",
        "          ActiveSequence: remembered",
        "          LastCut: watched",
        "          TargetReached: by-position",
        "        move:",
        "          how: plcopen",
        "          position: { path: Pusher/MoveAbs/Position, unit: 0.0125 mm, reversed: true }",
        "          execute: { path: Pusher/MoveAbs/Execute }",
        "          busy: { path: Pusher/MoveAbs/Busy }",
        "          done: { path: Pusher/MoveAbs/Done }",
        "          command-aborted: { path: Pusher/MoveAbs/CommandAborted }",
        "          error: { path: Pusher/MoveAbs/Error }",
        "          error-id: { path: Pusher/MoveAbs/ErrorID }");

    // The device's position is −counts / 80: its origin is in the calibration.
    assertLogIsTheDevicesRecord(
        device, counts -> counts.negate().multiply(new BigDecimal("0.0125")));
  }

  @Test
  void aStopOnForeignTopicsThatAnswersByNumberCutsTheJob() throws Exception {
    Mosquitto.require();
    Mosquitto broker = Mosquitto.open(programs, temp);
    broker.start();
    NodePeer device = started(NodePeer.line2(temp, broker.port(), OPTIONS));

    run(
        "  - name: saw1",
        "    layout: outfeed-stop",
        "    kerf: 3.2 mm",
        "    lead-trim: 20 mm",
        "    travel: { min: 20 mm, max: 4000 mm }",
        "    link:",
        "      mqtt:",
        "        broker: \"tcp://127.0.0.1:" + broker.port() + "\"",
        "        signals:",
        "          PositionActualValue: { topic: plant/line2/stop/actual }",
        "          HomingAttained: { topic: plant/line2/stop/state, pointer: /axis/ref }",
        "          Enabled: { topic: plant/line2/stop/state, pointer: /axis/on }",
        "          RemoteAllowed:",
        "            { topic: plant/line2/stop/state, pointer: /axis/mode, equals: remote }",
        "          TargetReached: { topic: plant/line2/stop/state, pointer: /axis/inpos }",
        "          ActiveSequence: { topic: plant/line2/stop/state, pointer: /axis/id }",
        "          FaultCode: { topic: plant/line2/stop/state, pointer: /axis/err }",
        "          SawState:",
        "            topic: plant/line2/stop/state",
        "            pointer: /saw/phase",
        "            values: { home: idle, clamp: guard-down, cut: blade-out }",
        "          CutCount: { topic: plant/line2/stop/state, pointer: /n/strokes }",
        "          BootId: { topic: plant/line2/stop/state, pointer: /n/powerups }",
        "          AcknowledgeCount: { topic: plant/line2/stop/state, pointer: /keys/ack }",
        "          StickLoadedCount: { topic: plant/line2/stop/state, pointer: /keys/stick }",
        "          Online: { topic: plant/line2/stop/alive }",
        "        lacks: { LastCut: watched }",
        "        move:",
        "          how: message",
        "          command:",
        "            topic: plant/line2/stop/cmd",
        "            template: '{\"go\":{\"to\":{position},\"id\":{sequence}}}'",
        "            unit: 0.001 mm",
        "          answer: { topic: plant/line2/stop/ack, pointer: /id }",
        "          accepted: { topic: plant/line2/stop/ack, pointer: /code, equals: 0 }",
        "          reason: { topic: plant/line2/stop/ack, pointer: /code }");

    assertLogIsTheDevicesRecord(device, UnaryOperator.identity());
  }
}
