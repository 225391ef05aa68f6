package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.shared.geometry.Calibration;
import org.kerftally.shared.geometry.Corrections;
import org.kerftally.shared.geometry.Layout;
import org.kerftally.shared.geometry.StopMotion;
import org.kerftally.shared.geometry.Travel;
import org.kerftally.shared.length.Length;

class EffectiveYamlTest {

  private static final int RANDOM_SITES = 150;

  @Test
  void whatTheFileDoesNotSayIsMarked() {
    String effective = effectiveOf("smallest-opcua.yaml");

    assertThat(effective)
        .isEqualTo(
            """
            # Every key with the value in force. "# default": not said in the file.
            folder: /srv/kerftally
            board: "127.0.0.1:8418"
            board-plain-text: refused  # default
            min-offcut: 300 mm  # default
            intake:
              poll: 500 ms  # default
              min-age: 1 s  # default
              max-bytes: 16 MiB  # default
            planning:
              time-limit: 10 s  # default
            materials: {}  # default
            stations:
              - name: saw1
                layout: outfeed-stop
                kerf: 3.2 mm
                lead-trim: 10 mm
                tail: 0 mm  # default
                sliver-cuts: true  # default
                travel:
                  min: 20 mm
                  max: 4000 mm
                calibration:
                  offset: 0 mm  # default
                  scale: 1  # default
                  resolution: 0.001 mm  # default
                  corrections: []  # default
                window: 0.1 mm  # default
                in-position:
                  dwell: 0 ms  # default
                  settle: 0 ms  # default
                approach:
                  from: either  # default
                  overshoot: 2 mm  # default
                retract:
                  by: 0 mm  # default
                  hold: 1 s  # default
                park:
                  at: nowhere  # default
                  after: 1 min  # default
                target-validity: 3 s  # default
                motion:
                  top-speed: 1000 mm/s  # default
                  acceleration: 2000 mm/s2  # default
                  settling: 150 ms  # default
                open-parts: fewest  # default
                operator:
                  stick-loaded: signal  # default
                  acknowledge: signal  # default
                link:
                  opcua:
                    endpoint: "opc.tcp://127.0.0.1:4840"
                    security: none  # default
                    plain-text: refused  # default
                    namespace: "urn:kerftally:positioner"  # default
                    nodes: {}  # default
                    publishing: 20 ms  # default
                    timeout: 4 s  # default
            """);
  }

  @Test
  void onlyTheTopicsThatAreNotMappedAreMarkedInAFileThatSaysAll() {
    assertThat(effectiveOf("workshop.yaml").lines().filter(line -> line.endsWith("# default")))
        .hasSize(MqttLinkConfig.TOPICS.size() - 1)
        .allMatch(line -> line.contains("kerftally/v1/alu-saw/"));
  }

  static List<String> samples() {
    return TestFiles.SAMPLES;
  }

  @ParameterizedTest
  @MethodSource("samples")
  void whatIsWrittenIsReadBackEqual(String sample) {
    ConfigResult.Good good = TestFiles.good(ConfigReader.read(TestFiles.EXAMPLES.resolve(sample)));

    ConfigResult.Good again = TestFiles.good(good.effectiveYaml());

    assertThat(again.config()).isEqualTo(good.config());
    assertThat(again.effectiveYaml()).doesNotContain("  # default");
  }

  @ParameterizedTest
  @ValueSource(strings = {"en-US", "tr-TR", "de-DE", "ar-EG-u-nu-arab"})
  void everySiteIsReadBackEqualInEveryLocale(String tag) {
    Locale before = Locale.getDefault();
    Locale.setDefault(Locale.forLanguageTag(tag));
    try {
      for (long seed = 0; seed < RANDOM_SITES; seed++) {
        SiteConfig site = new Sites(seed).site();
        String yaml = EffectiveYaml.render(site, Set.of());
        assertThat(TestFiles.good(yaml).config()).as("seed %s", seed).isEqualTo(site);
      }
    } finally {
      Locale.setDefault(before);
    }
  }

  private static String effectiveOf(String sample) {
    return TestFiles.good(ConfigReader.read(TestFiles.EXAMPLES.resolve(sample))).effectiveYaml();
  }

  /** Makes sites at random, the same for the same seed. */
  private static final class Sites {

    private static final List<String> TEXTS =
        List.of(
            "plain",
            "yes",
            "Null",
            "~",
            "1.5",
            "a: b",
            "a #b",
            "- a",
            "it's",
            "say \"so\"",
            "back\\slash",
            "Fichte 19×146 gehobelt",
            "ığüşöç İI",
            "木材",
            "🪵 oak",
            "%x",
            "@x",
            "*x",
            "&x",
            "{x}",
            "[x]",
            "!x",
            "|",
            "?");

    private final SplittableRandom random;

    Sites(long seed) {
      random = new SplittableRandom(seed);
    }

    SiteConfig site() {
      Map<String, MaterialConfig> materials = new LinkedHashMap<>();
      for (int i = random.nextInt(4); i > 0; i--) {
        materials.put(text(), material());
      }
      return new SiteConfig(
          Path.of("/srv/" + text()),
          board(),
          new IntakeConfig(millis(50, 600_000), millis(0, 600_000), random.nextLong(1024, 1 << 30)),
          IntStream.rangeClosed(1, random.nextInt(1, 5)).mapToObj(this::station).toList(),
          materials,
          length(0, 100_000),
          new PlanningConfig(millis(100, 3_600_000)));
    }

    private BoardConfig board() {
      SecretPlace token = random.nextBoolean() ? secret("TOKEN") : null;
      return random.nextInt(4) == 0
          ? new BoardConfig(null, 0, token, pick(PlainText.values()))
          : new BoardConfig(host(), port(), token, PlainText.ACCEPTED);
    }

    private SecretPlace secret(String variable) {
      return random.nextBoolean()
          ? new SecretPlace(Path.of("/etc/" + text()), null)
          : new SecretPlace(null, variable);
    }

    private ClientKey key() {
      SecretPlace password = random.nextBoolean() ? secret("KEY_PASSWORD") : null;
      return random.nextBoolean()
          ? new ClientKey(Path.of("/etc/" + text() + ".P12"), null, password)
          : new ClientKey(Path.of("/etc/" + text()), Path.of("/etc/" + text()), password);
    }

    private OpcUaIdentity identity() {
      return random.nextBoolean()
          ? new OpcUaIdentity.User(text(), secret("PASSWORD"))
          : new OpcUaIdentity.Certificate(key());
    }

    private MaterialConfig material() {
      boolean said = random.nextBoolean();
      return new MaterialConfig(
          random.nextBoolean() ? text() : null,
          said ? Length.ofNm(random.nextLong(1, 10_000_000)) : null,
          said ? length(0, 1_000) : null,
          random.nextBoolean() ? length(1, 2_000) : null);
    }

    private StationConfig station(int number) {
      Length min = length(0, 1_000);
      LinkConfig link = random.nextBoolean() ? opcua(number) : mqtt(number);
      boolean hasSwitch = !link.wiring().lacks().contains(StandIn.REMOTE_ALLOWED);
      Length window = Length.ofNm(random.nextLong(1, 10_000_000));
      Layout layout = pick(Layout.values());
      Travel travel = new Travel(min, min.plus(length(1_000, 90_000)));
      return new StationConfig(
          "saw_" + number + "-X",
          layout,
          Length.ofNm(random.nextLong(1, 50_000_000)),
          random.nextBoolean() ? Length.ZERO : length(50, 100),
          length(0, 1_000),
          random.nextBoolean(),
          travel,
          calibration(),
          window,
          quality(window),
          moves(layout, window, travel),
          millis(100, 60_000),
          new StopMotion(length(1, 99_999), length(1, 99_999), random.nextLong(60_001)),
          random.nextBoolean() ? null : random.nextInt(1, 1_001),
          new OperatorConfig(
              pick(OperatorConfig.StickLoaded.values()),
              hasSwitch
                  ? pick(OperatorConfig.Acknowledge.values())
                  : OperatorConfig.Acknowledge.SIGNAL),
          link);
    }

    private QualityConfig quality(Length window) {
      return new QualityConfig(
          millis(0, 10_000),
          millis(0, 10_000),
          pick(QualityConfig.From.values()),
          window.times(2).plus(Length.ofNm(random.nextLong(1, 80_000_000))));
    }

    private MovesConfig moves(Layout layout, Length window, Travel travel) {
      boolean retracts = layout == Layout.OUTFEED_STOP && random.nextBoolean();
      return new MovesConfig(
          retracts ? window.plus(Length.ofNm(random.nextLong(1, 80_000_000))) : Length.ZERO,
          millis(0, 60_000),
          random.nextBoolean() ? null : travel.min().plus(length(0, 1_000)),
          millis(1_000, 86_400_000));
    }

    private Calibration calibration() {
      BigDecimal scale = BigDecimal.valueOf(random.nextLong(500_000, 2_000_000), 6);
      BigDecimal plain = scale.stripTrailingZeros();
      return new Calibration(
          Length.ofNm(random.nextLong(-9_000_000_000L, 9_000_000_000L)),
          plain.scale() < 0 ? plain.setScale(0) : plain,
          Length.ofNm(random.nextLong(1, 10_000_000)),
          corrections());
    }

    private Corrections corrections() {
      List<Corrections.Point> points = new ArrayList<>();
      long atNm = random.nextLong(0, 50_000_000);
      for (int i = random.nextInt(5); i > 0; i--) {
        Length add = Length.ofNm(random.nextLong(-9_000_000, 9_000_000));
        points.add(new Corrections.Point(Length.ofNm(atNm), add));
        atNm += random.nextLong(36_000_000, 900_000_000);
      }
      return new Corrections(points);
    }

    private LinkConfig opcua(int number) {
      Map<String, String> nodes = new LinkedHashMap<>();
      for (String name : OpcUaLinkConfig.SIGNALS) {
        if (random.nextInt(4) == 0) {
          nodes.put(name, "nsu=urn:x:" + number + ";s=" + name + " " + text());
        }
      }
      OpcUaSecurity security = pick(OpcUaSecurity.values());
      return new OpcUaLinkConfig(
          "opc.tcp://" + url() + "/" + number,
          "urn:x:" + random.nextInt(100),
          nodes,
          millis(10, 10_000),
          millis(100, 120_000),
          security,
          security == OpcUaSecurity.NONE || random.nextBoolean() ? null : identity(),
          security == OpcUaSecurity.NONE ? PlainText.ACCEPTED : pick(PlainText.values()),
          new RandomWiring(random, true).next(nodes.keySet()));
    }

    private LinkConfig mqtt(int number) {
      String prefix = "p" + text().replaceAll("[+#$]", "") + "/" + number + "/";
      Map<String, String> topics = new LinkedHashMap<>();
      for (String name : MqttLinkConfig.TOPICS) {
        topics.put(name, random.nextBoolean() ? prefix + name : "shop/" + number + "/" + name);
      }
      boolean file = random.nextBoolean();
      return new MqttLinkConfig(
          "ssl://" + url(),
          prefix,
          topics,
          random.nextBoolean() ? text() : null,
          file ? Path.of("/etc/" + text()) : null,
          Duration.ofSeconds(random.nextInt(1, 3_600)),
          millis(100, 120_000),
          file ? null : "PASSWORD_" + number,
          new MqttTlsConfig(
              random.nextBoolean() ? Path.of("/etc/" + text()) : null,
              random.nextBoolean() ? key() : null),
          pick(PlainText.values()),
          new RandomWiring(random, false).next(Set.of()));
    }

    private String url() {
      String host = host();
      return (host.contains(":") ? "[" + host + "]" : host) + ":" + port();
    }

    private String host() {
      List<String> hosts = List.of("127.0.0.1", "localhost", "::1", "fe80::1", "saw-1.example");
      return hosts.get(random.nextInt(hosts.size()));
    }

    private int port() {
      return random.nextInt(1, 65_536);
    }

    private <T> T pick(T[] values) {
      return List.of(values).get(random.nextInt(values.length));
    }

    private String text() {
      return TEXTS.get(random.nextInt(TEXTS.size()));
    }

    private Length length(long leastMm, long mostMm) {
      return Length.ofNm(random.nextLong(leastMm * 1_000_000, mostMm * 1_000_000 + 1));
    }

    private Duration millis(long least, long most) {
      return Duration.ofMillis(random.nextLong(least, most + 1));
    }
  }
}
