package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Corrections;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.StopMotion;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

class ConfigReaderTest {

  @TempDir Path folder;

  private static final String STATION =
      """
      stations:
        - name: saw1
          layout: outfeed-stop
          kerf: 1/8 in
          travel: { min: 0 mm, max: 4 m }
          link: { opcua: { endpoint: "opc.tcp://[::1]:4840/positioner" } }
      """;

  @Test
  void theSmallestFileGetsEveryDefault() {
    SiteConfig config = read(TestFiles.EXAMPLES.resolve("smallest-opcua.yaml"));

    StationConfig station =
        new StationConfig(
            "saw1",
            Layout.OUTFEED_STOP,
            Length.ofNm(3_200_000),
            Length.ofMm(10),
            Length.ZERO,
            true,
            new Travel(Length.ofMm(20), Length.ofMm(4_000)),
            Calibration.TRUE,
            Length.ofNm(100_000),
            QualityConfig.NONE,
            MovesConfig.NONE,
            Duration.ofSeconds(3),
            StopMotion.LIGHT,
            null,
            new OperatorConfig(
                OperatorConfig.StickLoaded.SIGNAL, OperatorConfig.Acknowledge.SIGNAL),
            new OpcUaLinkConfig(
                "opc.tcp://127.0.0.1:4840",
                "urn:kerftally:positioner",
                Map.of(),
                Duration.ofMillis(20),
                Duration.ofSeconds(4)));
    assertThat(config)
        .isEqualTo(
            new SiteConfig(
                Path.of("/srv/kerftally"),
                new BoardConfig("127.0.0.1", 8418),
                new IntakeConfig(Duration.ofMillis(500), Duration.ofSeconds(1), 16_777_216),
                List.of(station),
                Map.of(),
                Length.ofMm(300),
                new PlanningConfig(Duration.ofSeconds(10))));
  }

  @Test
  void theSmallestFileOverMqttGetsEveryTopic() {
    SiteConfig config = read(TestFiles.EXAMPLES.resolve("smallest-mqtt.yaml"));

    Map<String, String> topics = new LinkedHashMap<>();
    for (String name : MqttLinkConfig.TOPICS) {
      topics.put(name, "kerftally/v1/saw1/" + name);
    }
    assertThat(config.stations().get(0).link())
        .isEqualTo(
            new MqttLinkConfig(
                "tcp://127.0.0.1:1883",
                "kerftally/v1/saw1/",
                topics,
                null,
                null,
                Duration.ofSeconds(5),
                Duration.ofSeconds(4),
                null));
  }

  @Test
  void aTableOfCorrectionsIsReadInItsOrder() {
    String table =
        "scale: 1.5, corrections: [ { at: 500 mm, add: 0.05 mm }, { add: -1/64 in, at: 2 m } ]";
    String yaml = TestFiles.resource("whole.yaml").replace("scale: 1.5", table);

    assertThat(TestFiles.good(yaml).config().stations().get(0).calibration().corrections())
        .isEqualTo(
            new Corrections(
                List.of(
                    new Corrections.Point(Length.ofMm(500), Length.ofNm(50_000)),
                    new Corrections.Point(Length.ofMm(2_000), Length.ofNm(-396_875)))));
  }

  @Test
  void asManyCorrectionsAsThereMayBeAreReadAndNoneMore() {
    String whole = TestFiles.resource("whole.yaml");
    StringBuilder entries = new StringBuilder("scale: 1.5, corrections: [ ");
    for (int i = 0; i < Corrections.MAX_POINTS; i++) {
      entries.append("{ at: ").append(i).append(" mm, add: 0 mm }, ");
    }
    String most = whole.replace("scale: 1.5", entries + "]");
    String more = whole.replace("scale: 1.5", entries + "{ at: 1 m, add: 0 mm } ]");

    assertThat(TestFiles.good(most).config().stations().get(0).calibration().corrections().points())
        .hasSize(Corrections.MAX_POINTS);
    assertThat(TestFiles.problems(more))
        .singleElement()
        .asString()
        .contains(".calibration.corrections: found 201 entries, expected 0 to 200");
  }

  @Test
  void theWholeFileIsReadKeyByKey() {
    SiteConfig config = TestFiles.good(TestFiles.resource("whole.yaml")).config();

    StationConfig first = config.stations().get(0);
    assertThat(first.calibration())
        .isEqualTo(
            new Calibration(Length.ofNm(-500_000), new BigDecimal("1.5"), Length.ofNm(10_000)));
    assertThat(first.tail()).isEqualTo(Length.ofMm(60));
    assertThat(((OpcUaLinkConfig) first.link()).nodes())
        .isEqualTo(Map.of("CutCount", "ns=2;i=7", "BootId", "nsu=urn:example:drive;s=Boot"));
    StationConfig second = config.stations().get(1);
    assertThat(second.layout()).isEqualTo(Layout.INFEED_PUSHER);
    assertThat(second.travel()).isEqualTo(new Travel(Length.ofMm(100), Length.ofMm(6_000)));
    MqttLinkConfig mqtt = (MqttLinkConfig) second.link();
    assertThat(mqtt.topic("fault")).isEqualTo("shop/alarms");
    assertThat(mqtt.topic("cut")).isEqualTo("shop/saw2/cut");
    assertThat(mqtt.user()).isEqualTo("kerftally");
    assertThat(config.materials())
        .isEqualTo(
            Map.of(
                "pine",
                new MaterialConfig("19 x 146", Length.ofMm(3), Length.ofMm(400), Length.ofMm(60))));
  }

  @Test
  void relativePathsStartAtTheFilesFolder() throws IOException {
    Path file = folder.resolve("etc/site.yaml");
    Files.createDirectories(file.getParent());
    Files.writeString(file, TestFiles.resource("whole.yaml").replace("site\n", "../data\n"));

    SiteConfig config = read(file);

    assertThat(config.folder()).isEqualTo(folder.resolve("data"));
    assertThat(((MqttLinkConfig) config.stations().get(1).link()).passwordFile())
        .isEqualTo(folder.resolve("etc/mqtt.password"));
  }

  @Test
  void aFolderNeedNotBeThereYet() {
    assertThat(TestFiles.good("folder: /no/such/folder\n" + STATION).config().folder())
        .isEqualTo(Path.of("/no/such/folder"));
  }

  @Test
  void lengthsAreReadInEveryUnitExactly() {
    String yaml = "folder: x\nmin-offcut: 1' 0-1/2\"\n" + STATION;

    SiteConfig config = TestFiles.good(yaml).config();

    assertThat(config.stations().get(0).kerf()).isEqualTo(Length.ofNm(3_175_000));
    assertThat(config.minOffcut()).isEqualTo(Length.ofNm(317_500_000));
  }

  @Test
  void zeroNeedsNoUnit() {
    SiteConfig config = TestFiles.good("folder: x\nmin-offcut: 0\n" + STATION).config();

    assertThat(config.minOffcut()).isEqualTo(Length.ZERO);
  }

  @Test
  void theBoardMayBeOff() {
    BoardConfig board = TestFiles.good("folder: x\nboard: off\n" + STATION).config().board();

    assertThat(board).isEqualTo(BoardConfig.OFF);
    assertThat(board.isOn()).isFalse();
    assertThat(board.isLoopback()).isTrue();
  }

  @Test
  void theBoardTellsWhoCanReachIt() {
    Map<String, Boolean> loopback =
        Map.of(
            "127.0.0.1:1", true,
            "127.9.9.9:65535", true,
            "localhost:80", true,
            "\"[::1]:80\"", true,
            "0.0.0.0:80", false,
            "\"[::]:80\"", false,
            "saw.example:80", false,
            "127.example:80", false);
    loopback.forEach(
        (board, expected) ->
            assertThat(board("board-plain-text: accepted\nboard: " + board).isLoopback())
                .as(board)
                .isEqualTo(expected));
    assertThat(board("board: \"[::1]:80\"")).isEqualTo(new BoardConfig("::1", 80));
  }

  @Test
  void whatTwoStationsShareMayBeAnAlias() {
    String yaml =
        TestFiles.resource("whole.yaml")
            .replace("operator: {", "operator: &panel {")
            .replace("kerf: 2.8 mm", "kerf: 2.8 mm\n    operator: *panel");

    List<StationConfig> stations = TestFiles.good(yaml).config().stations();

    assertThat(stations.get(1).operator()).isEqualTo(stations.get(0).operator());
  }

  @Test
  void jsonIsYaml() {
    String json =
        """
        {"folder": "/srv/kerftally", "stations": [{"name": "saw1", "layout": "outfeed-stop",
         "kerf": "3.2 mm", "travel": {"min": "20 mm", "max": "4000 mm"},
         "link": {"mqtt": {"broker": "tcp://127.0.0.1:1883"}}}]}
        """;

    assertThat(TestFiles.good(json).config().stations()).hasSize(1);
  }

  @Test
  void aByteOrderMarkAndForeignLineEndsAreRead() throws IOException {
    Path file = folder.resolve("site.yaml");
    String text = "\uFEFF" + TestFiles.resource("whole.yaml").replace("\n", "\r\n");
    Files.writeString(file, text);

    assertThat(read(file).stations()).hasSize(2);
  }

  @Test
  void aFileThatIsNotThereIsAProblem() {
    Path file = folder.resolve("none.yaml");

    assertThat(TestFiles.problems(ConfigReader.read(file)))
        .containsExactly(file + ": found no such file. Check the name and the folder you are in");
  }

  @Test
  void aFolderInPlaceOfAFileIsAProblem() {
    assertThat(TestFiles.problems(ConfigReader.read(folder)))
        .containsExactly(folder + ": found a folder, expected a file. Name the YAML file in it");
  }

  @Test
  void bytesThatAreNotUtf8AreNamedByTheirLine() throws IOException {
    Path file = folder.resolve("site.yaml");
    Files.write(file, "folder: x\n# Säge\n".getBytes(StandardCharsets.ISO_8859_1));

    assertThat(TestFiles.problems(ConfigReader.read(file)))
        .containsExactly(
            file
                + ", line 2: found bytes that are not UTF-8. Save the file as plain text in UTF-8");
  }

  @Test
  void aFileThatEndsWithinACharacterIsNotUtf8() throws IOException {
    Path file = folder.resolve("site.yaml");
    Files.write(file, new byte[] {'#', (byte) 0xC3});

    assertThat(TestFiles.problems(ConfigReader.read(file)))
        .containsExactly(
            file
                + ", line 1: found bytes that are not UTF-8. Save the file as plain text in UTF-8");
  }

  @Test
  void whatIsInClearMayLeaveThisMachineWhenTheFileSaysSo() {
    String yaml =
        TestFiles.resource("whole.yaml")
            .replace(
                "endpoint: \"opc.tcp://127.0.0.1",
                "plain-text: accepted\n        endpoint: \"opc.tcp://saw1")
            .replace(
                "broker: \"tcp://127.0.0.1",
                "plain-text: accepted\n        broker: \"tcp://broker");

    assertThat(TestFiles.good(yaml).config().stations())
        .extracting(station -> station.link().isExposed())
        .containsExactly(true, true);
  }

  @Test
  void theSecuredSamplesAreReadKeyByKey() {
    Path folder = TestFiles.EXAMPLES.toAbsolutePath();
    SiteConfig opcua = read(TestFiles.EXAMPLES.resolve("secured-opcua.yaml"));
    SiteConfig mqtt = read(TestFiles.EXAMPLES.resolve("secured-mqtt.yaml"));

    OpcUaLinkConfig first = (OpcUaLinkConfig) opcua.stations().get(0).link();
    assertThat(first.security()).isEqualTo(OpcUaSecurity.BEST);
    assertThat(first.identity())
        .isEqualTo(
            new OpcUaIdentity.User(
                "kerftally", new SecretPlace(folder.resolve("wood-saw.password"), null)));
    assertThat(first.isExposed()).isFalse();
    assertThat(opcua.board().token())
        .isEqualTo(new SecretPlace(folder.resolve("board.token"), null));
    MqttLinkConfig second = (MqttLinkConfig) mqtt.stations().get(0).link();
    assertThat(second.isSecured()).isTrue();
    assertThat(second.password()).isEqualTo(new SecretPlace(null, "KERFTALLY_PASSWORD"));
    assertThat(second.tls())
        .isEqualTo(
            new MqttTlsConfig(
                folder.resolve("broker-ca.pem"),
                new ClientKey(
                    folder.resolve("kerftally.pem"),
                    folder.resolve("kerftally.key"),
                    new SecretPlace(folder.resolve("kerftally.key.password"), null))));
  }

  private static BoardConfig board(String line) {
    return TestFiles.good("folder: x\n" + line + "\n" + STATION).config().board();
  }

  private static SiteConfig read(Path file) {
    return TestFiles.good(ConfigReader.read(file)).config();
  }
}
