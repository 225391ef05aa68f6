package org.kerftally.daemon.site;

import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.kerftally.protocol.broker.Authority;
import org.kerftally.protocol.broker.Authority.Issued;

/**
 * Runs a shop of four saws, everything secured: two over OPC UA, signed, encrypted and with a user,
 * two over MQTT with TLS, certificates and a login. Between each two ends stands a proxy.
 */
final class SoakSite implements AutoCloseable {

  static final List<String> STATIONS = List.of("saw1", "saw2", "saw3", "saw4");

  private static final List<String> OVER_OPC_UA = List.of("saw1", "saw2");
  private static final String USER = "kerftally";
  private static final Duration PATIENCE = Duration.ofMinutes(2);

  /** As many devices as this share a machine with the service. */
  private static final List<String> SMALL =
      List.of("-Xmx96m", "-XX:+UseSerialGC", "-XX:TieredStopAtLevel=1");

  private final Path folder;
  private final double speed;
  private final Programs programs;
  private final Authority authority = new Authority("Shop authority");
  private final Path password;
  private final Mosquitto broker;
  private final Map<String, List<FaultProxy>> proxies = new LinkedHashMap<>();
  private final Process service;
  private final int board;

  /** Starts all of it. */
  SoakSite(Path folder, double speed, List<String> jvm) throws IOException, InterruptedException {
    this.folder = folder;
    this.speed = speed;
    programs = new Programs(folder.resolve("logs"));
    password = Files.writeString(folder.resolve("password"), "acacia honey\n");
    broker = Mosquitto.secured(programs, folder, authority, USER, password);
    broker.start();
    Files.createDirectories(site().resolve("inbox"));
    Path trusted = Files.createDirectories(site().resolve("pki/trusted"));
    List<String> links = new ArrayList<>();
    for (String station : STATIONS) {
      links.add(OVER_OPC_UA.contains(station) ? opcUa(station, trusted) : mqtt(station));
    }
    board = Programs.freePort();
    Files.write(site().resolve("kerftally.yaml"), yaml(links));
    Files.write(
        site().resolve("stock.csv"),
        List.of("material,length,qty,cost,kind,label", "pine-19x146,2400,,,new,"));
    service =
        programs.java(
            "service",
            jvm,
            Programs.daemonJar(),
            List.of("run", "-c", site().resolve("kerftally.yaml").toString()));
  }

  /** Returns the site's folder. */
  Path site() {
    return folder.resolve("site");
  }

  Process service() {
    return service;
  }

  Path serviceLog() {
    return programs.log("service");
  }

  String boardUrl() {
    return "http://127.0.0.1:" + board;
  }

  /** Returns the proxies between a station's two ends. */
  List<FaultProxy> proxies(String station) {
    return proxies.getOrDefault(station, List.of());
  }

  Path truth(String station) {
    return folder.resolve(station + ".truth.csv");
  }

  Path moves(String station) {
    return folder.resolve(station + ".moves.csv");
  }

  private FaultProxy proxy(String station, int port) throws IOException {
    FaultProxy proxy = new FaultProxy(port);
    proxies.computeIfAbsent(station, s -> new ArrayList<>()).add(proxy);
    return proxy;
  }

  private String opcUa(String station, Path trusted) throws IOException {
    int port = Programs.freePort();
    Path pki = Files.createDirectories(folder.resolve(station + ".pki"));
    device(station, "--link", "opcua", "--port", "" + port, "--secure", pki.toString());
    Path shown = pki.resolve("own/positioner.der");
    await("the device is ready")
        .atMost(PATIENCE)
        .until(() -> programs.said(station).contains("ready at") && Files.exists(shown));
    Files.copy(shown, trusted.resolve(station + ".der"));
    return "opcua: { endpoint: \"opc.tcp://127.0.0.1:"
        + proxy(station, port).port()
        + "\", security: best, identity: { user: "
        + USER
        + ", password-file: "
        + password
        + " } }";
  }

  private String mqtt(String station) throws IOException {
    Path ca = Files.writeString(folder.resolve("ca.pem"), authority.pem());
    String[] device = key(station + "-positioner");
    String[] own = key(station + "-kerftally");
    device(
        station,
        "--link",
        "mqtt",
        "--broker",
        "ssl://127.0.0.1:" + proxy(station, broker.port()).port(),
        "--ca-file",
        ca.toString(),
        "--certificate-file",
        device[0],
        "--key-file",
        device[1]);
    return "mqtt: { broker: \"ssl://127.0.0.1:"
        + proxy(station, broker.port()).port()
        + "\", user: "
        + USER
        + ", password-file: "
        + password
        + ", tls: { ca-file: "
        + ca
        + ", certificate-file: "
        + own[0]
        + ", key-file: "
        + own[1]
        + " } }";
  }

  private String[] key(String name) throws IOException {
    Issued issued = authority.issue(name);
    Path certificate = folder.resolve(name + ".pem");
    Path key = folder.resolve(name + ".key");
    Files.writeString(certificate, issued.certificatePem());
    Files.writeString(key, issued.keyPem());
    return new String[] {certificate.toString(), key.toString()};
  }

  private void device(String station, String... link) throws IOException {
    List<String> arguments = new ArrayList<>(List.of(link));
    arguments.addAll(
        List.of(
            "--user",
            USER,
            "--password-file",
            password.toString(),
            "--station",
            station,
            "--speed",
            "" + speed,
            "--seed",
            "" + (STATIONS.indexOf(station) + 1),
            "--truth",
            truth(station).toString(),
            "--moves",
            moves(station).toString(),
            "--memory",
            folder.resolve(station + ".memory").toString()));
    programs.java(station, SMALL, Programs.deviceJar(), arguments);
  }

  private List<String> yaml(List<String> links) {
    List<String> lines = new ArrayList<>();
    lines.add("folder: .");
    lines.add("board: 127.0.0.1:" + board);
    lines.add("stations:");
    for (int i = 0; i < STATIONS.size(); i++) {
      lines.add("  - name: " + STATIONS.get(i));
      lines.add("    layout: outfeed-stop");
      lines.add("    kerf: 3.2 mm");
      lines.add("    lead-trim: 10 mm");
      lines.add("    travel: { min: 20 mm, max: 4000 mm }");
      lines.add("    link:");
      lines.add("      " + links.get(i));
    }
    return lines;
  }

  @Override
  public void close() throws InterruptedException {
    programs.close();
    proxies.values().forEach(all -> all.forEach(FaultProxy::close));
  }
}
