package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.daemon.site.SiteFolder;

/**
 * Looks at every socket of the service as it is shipped, in the kernel's own tables (proc(5),
 * /proc/net/tcp): where nothing else is configured, only this machine can reach it.
 */
@EnabledOnOs(OS.LINUX)
final class LoopbackOnlyIT {

  private static final Path DAEMON = Path.of("target", "kerftally.jar");
  private static final Path SAMPLES = Path.of("..", "config", "examples");
  private static final String LISTENING = "0A";

  @TempDir Path temp;
  private Process service;

  @AfterEach
  void end() throws InterruptedException {
    if (service != null) {
      service.destroyForcibly().waitFor(30, TimeUnit.SECONDS);
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"smallest-opcua.yaml", "smallest-mqtt.yaml"})
  void aServiceAsInTheSamplesListensOnLoopbackAlone(String sample) throws Exception {
    int port = freePort();
    Path config = temp.resolve("kerftally.yaml");
    String yaml = Files.readString(SAMPLES.resolve(sample));
    assertThat(yaml).contains("folder: /srv/kerftally", "board: 127.0.0.1:8418");
    Files.writeString(
        config, yaml.replace("/srv/kerftally", "site").replace("1:8418", "1:" + port));
    Path log = temp.resolve("service.log");
    service =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-jar",
                DAEMON.toString(),
                "run",
                "-c",
                config.toString())
            .redirectErrorStream(true)
            .redirectOutput(log.toFile())
            .start();
    await("it is ready")
        .atMost(SiteFolder.PATIENCE)
        .until(() -> Files.readString(log).contains("ready: "));

    List<Listener> listeners = listeners(service.pid());

    assertThat(listeners).extracting(Listener::port).contains(port);
    assertThat(listeners).allMatch(l -> l.address().isLoopbackAddress());
    // None at all are expected; one that came with a library would have to stay here too.
    assertThat(udp(service.pid())).allMatch(l -> l.address().isLoopbackAddress());
  }

  /** An address and port that something is bound to. */
  private record Listener(InetAddress address, int port) {}

  private static List<Listener> listeners(long pid) throws IOException {
    List<Listener> found = new ArrayList<>(table(pid, "tcp", LISTENING));
    found.addAll(table(pid, "tcp6", LISTENING));
    return found;
  }

  private static List<Listener> udp(long pid) throws IOException {
    List<Listener> found = new ArrayList<>(table(pid, "udp", null));
    found.addAll(table(pid, "udp6", null));
    return found;
  }

  private static List<Listener> table(long pid, String name, String state) throws IOException {
    Set<String> own = inodes(pid);
    Path file = Path.of("/proc", Long.toString(pid), "net", name);
    List<Listener> found = new ArrayList<>();
    for (String row : Files.exists(file) ? Files.readAllLines(file) : List.<String>of()) {
      String[] cells = row.trim().split("\\s+", -1);
      boolean isOwn = cells.length > 9 && own.contains(cells[9]);
      if (isOwn && (state == null || cells[3].equals(state))) {
        String[] local = cells[1].split(":", -1);
        found.add(new Listener(address(local[0]), Integer.parseInt(local[1], 16)));
      }
    }
    return found;
  }

  /** The kernel writes an address as words of four bytes, each in the machine's own order. */
  private static InetAddress address(String hex) throws IOException {
    ByteBuffer words = ByteBuffer.wrap(HexFormat.of().parseHex(hex)).order(ByteOrder.BIG_ENDIAN);
    ByteBuffer bytes = ByteBuffer.allocate(words.capacity()).order(ByteOrder.nativeOrder());
    while (words.hasRemaining()) {
      bytes.putInt(words.getInt());
    }
    return InetAddress.getByAddress(bytes.array());
  }

  private static Set<String> inodes(long pid) throws IOException {
    try (Stream<Path> open = Files.list(Path.of("/proc", Long.toString(pid), "fd"))) {
      return open.map(LoopbackOnlyIT::target)
          .filter(name -> name.startsWith("socket:["))
          .map(name -> name.substring("socket:[".length(), name.length() - 1))
          .collect(Collectors.toSet());
    }
  }

  private static String target(Path descriptor) {
    try {
      return Files.readSymbolicLink(descriptor).toString();
    } catch (IOException e) {
      return ""; // Closed meanwhile.
    }
  }

  private static int freePort() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    }
  }
}
