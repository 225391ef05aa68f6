package org.kerftally.daemon.cli;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Base64;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.SecretPlace;
import org.kerftally.daemon.site.SiteFolder;
import org.kerftally.protocol.broker.Authority;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.protocol.certificates.SiteCertificate;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;
import org.kerftally.sim.opcua.ServerSecurity;

/**
 * Gives the service as it is shipped a secret of every kind, has it talk as much as it can be told
 * to, and looks for the secrets in all it says and writes.
 *
 * <p>One station's link works, three fail at their login, so both ways are taken. That the secrets
 * were really used is seen from the other side.
 */
@Timeout(value = 10, unit = TimeUnit.MINUTES)
final class SecretsStayInsideIT {

  private static final Path DAEMON = Path.of("target", "kerftally.jar");
  private static final int EVENT_LINES = 6;
  private static final Duration LIMIT = Duration.ofSeconds(30);
  private static final String[] SUPERS = {
    "# station: saw1", "part,length,qty,material", "super side,505,4,pine-19x146"
  };

  @TempDir Path temp;

  private final Marks marks = new Marks();
  private final Map<String, String> environment = new LinkedHashMap<>();
  private final String token = marks.make("token");
  private final String opcUaPassword = marks.make("opcua-file");
  private final String mqttPassword = marks.make("mqtt-file");
  private SiteFolder site;
  private final List<SimDevice> devices = new ArrayList<>();
  private final List<OpcUaDeviceServer> servers = new ArrayList<>();
  private StrictBroker broker;
  private Process service;
  private int boardPort;
  private int verbs;

  @BeforeEach
  void configure() throws IOException {
    site = new SiteFolder(temp.resolve("site"));
    site.stock();
    SecretPlace right = secretFile("opcua.password", opcUaPassword);
    secretFile("mqtt.password", mqttPassword);
    environment.put("KT_TOKEN", token);
    environment.put("KT_WRONG", marks.make("opcua-environment"));
    environment.put("KT_MQTT", marks.make("mqtt-environment"));
    String storePassword = marks.make("key-password");
    environment.put("KT_KEY", storePassword);
    new Authority("Shop").issue("kerftally").store(temp.resolve("kerftally.p12"), storePassword);
    serve(SimConfig.standard("saw1").withSpeed(100).withTruth(site.truth()), right);
    serve(SimConfig.standard("saw2"), right);
    broker = new StrictBroker();
    boardPort = freePort();
    Files.writeString(site.config(), yaml());
  }

  private void serve(SimConfig config, SecretPlace password) throws IOException {
    SimDevice device = SimDevice.open(config);
    devices.add(device);
    ServerSecurity security = ServerSecurity.in(temp.resolve("device-" + devices.size()));
    servers.add(new OpcUaDeviceServer(device, 0, security.withUser("kerftally", password)));
  }

  private String opcua(int saw) {
    String endpoint = servers.get(saw - 1).address();
    return "opcua: { endpoint: \"" + endpoint + "\", security: best, identity: ";
  }

  private String yaml() {
    String identity = "{ user: kerftally, password-%s } }";
    String tcp = "mqtt: { broker: \"tcp://127.0.0.1:" + broker.port() + "\", user: kerftally, ";
    String ssl = tcp.replace("tcp://", "ssl://");
    return String.join(
        "\n",
        "folder: .",
        "board: 127.0.0.1:" + boardPort,
        "board-token-env: KT_TOKEN",
        "intake: { poll: 50 ms, min-age: 100 ms }",
        "stations:",
        station("saw1", opcua(1) + identity.formatted("file: ../opcua.password")),
        station("saw2", opcua(2) + identity.formatted("env: KT_WRONG")),
        station("saw3", tcp + "password-file: ../mqtt.password }"),
        station(
            "saw4",
            ssl
                + "password-env: KT_MQTT, tls: { certificate-file: ../kerftally.p12,"
                + " key-password-env: KT_KEY } }"),
        "");
  }

  private static String station(String name, String link) {
    return String.join(
        "\n",
        "  - name: " + name,
        "    layout: outfeed-stop",
        "    kerf: 3.2 mm",
        "    travel: { min: 20 mm, max: 4000 mm }",
        "    link:",
        "      " + link);
  }

  private SecretPlace secretFile(String name, String secret) throws IOException {
    return new SecretPlace(Files.writeString(temp.resolve(name), secret + "\n"), null);
  }

  @AfterEach
  void end() throws Exception {
    if (service != null) {
      service.destroyForcibly().waitFor(30, TimeUnit.SECONDS);
    }
    broker.close();
    servers.forEach(OpcUaDeviceServer::close);
    devices.forEach(SimDevice::close);
  }

  @Test
  void noSecretIsInAnythingTheServiceSaysOrWrites() throws Exception {
    List<byte[]> said = new ArrayList<>();
    said.add(verb("check", "-c", site.config()));
    said.add(verb("check", "--connect", "-c", site.config()));
    Path log = temp.resolve("run.txt");
    service = start(log, "run", "-c", site.config(), "--trace", site.folder.resolve("traces"));
    await("it is ready")
        .atMost(SiteFolder.PATIENCE)
        .until(() -> Files.readString(log).contains("ready: ") || !service.isAlive());
    assertThat(Files.readString(log)).contains("ready: ");
    acceptDevices();
    site.drop("supers.csv", SUPERS);
    site.awaitMade("supers", 4);
    await("the broker was shown the password")
        .atMost(SiteFolder.PATIENCE)
        .until(() -> broker.firstWords().stream().anyMatch(w -> marks.in(w).contains("mqtt-file")));
    await("every other link said why it is down")
        .atMost(SiteFolder.PATIENCE)
        .until(() -> saidWhy(log));
    said.addAll(boardAnswers());
    said.add(verb("log", "check", "-c", site.config()));
    said.add(verb("certificates", "-c", site.config()));
    Path job = Files.write(site.folder.resolve("again.csv"), List.of(SUPERS));
    said.add(verb("plan", job, "--stock", site.folder.resolve("stock.csv")));
    service.destroy();
    assertThat(service.waitFor(120, TimeUnit.SECONDS)).isTrue();
    said.add(Files.readAllBytes(log));

    assertThat(Files.readString(log)).contains(" DEBUG ");
    for (byte[] each : said) {
      assertThat(marks.in(each)).as(() -> new String(each, UTF_8)).isEmpty();
    }
    assertThat(filesOfTheSite()).contains("kerftally.db", "kerftally.yaml", "plan.json");
  }

  /** Who puts a password where it does not belong must not find it in a ticket afterwards. */
  @Test
  void aSecretInTheWrongPlaceOfARefusedConfigurationIsNotRepeated() throws Exception {
    String secret = marks.make("misplaced");
    List<String> wrong =
        List.of(
            yaml().replace("password-env: KT_WRONG", "password: " + secret),
            yaml().replace("password-env: KT_WRONG", "password-env: '" + secret + "!'"),
            yaml().replace("KT_TOKEN", "\"" + secret + " and more\""),
            yaml().replace("board-token-env: KT_TOKEN", "board-token: " + secret),
            yaml().replace("opc.tcp://", "opc.tcp://kerftally:" + secret + "@"),
            yaml()
                .replace("tcp://127.0.0.1:" + broker.port(), "tcp://k:" + secret + "@127.0.0.1:1"),
            yaml().replace("key-password-env: KT_KEY", "key-password: [" + secret + "]"),
            yaml() + "secret: *" + secret + "\n",
            yaml() + "credential: \"" + secret + "\n");
    for (String text : wrong) {
      assertThat(text).contains(secret);
      Files.writeString(site.config(), text);
      for (String verb : List.of("check", "run")) {
        byte[] said = verb(verb, "-c", site.config());
        assertThat(new String(said, UTF_8)).contains("kerftally.yaml, line ");
        assertThat(marks.in(said)).as(() -> new String(said, UTF_8)).isEmpty();
      }
    }
  }

  private static boolean saidWhy(Path log) throws IOException {
    List<String> warnings =
        Files.readAllLines(log).stream().filter(l -> l.contains(" WARN ")).toList();
    return Stream.of("saw2: ", "saw3: ", "saw4: ")
        .allMatch(saw -> warnings.stream().anyMatch(l -> l.contains(saw)));
  }

  /** Returns the names of the site's files, none of which holds a secret. */
  private List<String> filesOfTheSite() throws IOException {
    List<String> names = new ArrayList<>();
    try (Stream<Path> files = Files.walk(site.folder)) {
      for (Path file : files.filter(Files::isRegularFile).toList()) {
        assertThat(marks.in(Files.readAllBytes(file))).as("%s", file).isEmpty();
        names.add(file.getFileName().toString());
      }
    }
    return names;
  }

  private void acceptDevices() throws IOException {
    CertificateFolder certificates = CertificateFolder.of(site.folder);
    List<SiteCertificate> waiting = new ArrayList<>();
    await("both devices have shown their certificates")
        .atMost(SiteFolder.PATIENCE)
        .until(
            () -> {
              waiting.clear();
              waiting.addAll(
                  certificates.list().stream()
                      .filter(c -> c.place() == SiteCertificate.Place.WAITING)
                      .toList());
              return waiting.size() == devices.size();
            });
    for (SiteCertificate each : waiting) {
      assertThat(certificates.accept(each.fingerprint())).isTrue();
    }
  }

  private List<byte[]> boardAnswers() throws IOException, InterruptedException {
    List<byte[]> answers = new ArrayList<>();
    String basic = Base64.getEncoder().encodeToString(("office:" + token).getBytes(UTF_8));
    for (String path :
        List.of("/", "/api/stations", "/api/jobs", "/metrics", "/healthz", "/readyz", "/no-such")) {
      for (String shown : new String[] {"Bearer " + token, "Basic " + basic, "Bearer wrong"}) {
        answers.add(answer(path, shown));
      }
    }
    byte[] events = events();
    assertThat(new String(events, UTF_8)).contains("HTTP 200").contains("data:");
    answers.add(events);
    assertThat(new String(answer("/metrics", "Bearer " + token), UTF_8)).contains("HTTP 200");
    assertThat(new String(answer("/metrics", "Bearer wrong"), UTF_8)).contains("HTTP 401");
    return answers;
  }

  /** Returns the first events of the stream, which does not end by itself. */
  private byte[] events() throws IOException, InterruptedException {
    HttpRequest request =
        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + boardPort + "/api/events"))
            .header("Authorization", "Bearer " + token)
            .timeout(LIMIT)
            .build();
    HttpResponse<InputStream> response =
        HttpClient.newHttpClient().send(request, HttpResponse.BodyHandlers.ofInputStream());
    StringBuilder heard = new StringBuilder();
    heard.append("HTTP ").append(response.statusCode()).append(response.headers().map());
    try (BufferedReader lines = new BufferedReader(new InputStreamReader(response.body(), UTF_8))) {
      for (int i = 0; i < EVENT_LINES; i++) {
        heard.append('\n').append(lines.readLine());
      }
    }
    return heard.toString().getBytes(UTF_8);
  }

  private byte[] answer(String path, String authorization)
      throws IOException, InterruptedException {
    HttpRequest request =
        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + boardPort + path))
            .header("Authorization", authorization)
            .timeout(LIMIT)
            .build();
    HttpResponse<String> response =
        HttpClient.newHttpClient().send(request, HttpResponse.BodyHandlers.ofString(UTF_8));
    String head = "HTTP " + response.statusCode() + " " + response.headers().map() + "\n";
    return (head + response.body()).getBytes(UTF_8);
  }

  /** Runs a verb to its end and returns all it said. */
  private byte[] verb(Object... words) throws IOException, InterruptedException {
    Path said = temp.resolve("verb-" + verbs++ + ".txt");
    Process process = start(said, words);
    assertThat(process.waitFor(SiteFolder.PATIENCE.toSeconds(), TimeUnit.SECONDS)).isTrue();
    assertThat(Files.size(said)).as("%s", List.of(words)).isPositive();
    return Files.readAllBytes(said);
  }

  /** Starts the program as a user would who wants to hear everything. */
  private Process start(Path said, Object... words) throws IOException {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.add("-Xmx256m");
    command.add("-Dkerftally.log.level=TRACE");
    command.add("-jar");
    command.add(DAEMON.toString());
    Stream.of(words).map(String::valueOf).forEach(command::add);
    ProcessBuilder builder = new ProcessBuilder(command).redirectErrorStream(true);
    builder.environment().putAll(environment);
    return builder.redirectOutput(said.toFile()).start();
  }

  private static int freePort() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    }
  }
}
