package org.kerftally.daemon.peers;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;

/**
 * Runs one device of {@code src/test/peers} in a process of its own. The device ends by itself when
 * its time is over or when the JVM that started it is gone: its standard input closes with it.
 */
public final class NodePeer implements AutoCloseable {

  /** Far more than any device takes, on a machine that does much else. */
  private static final long START_SECONDS = 120;

  private static final long END_SECONDS = 30;
  private static final int TRUTH_FIELDS = 3;
  private static final ObjectMapper JSON = new ObjectMapper();

  private final Process process;
  private final Path truth;
  private final Path log;
  private final JsonNode ready;

  private NodePeer(Process process, Path truth, Path log) throws InterruptedException {
    this.process = process;
    this.truth = truth;
    this.log = log;
    this.ready = awaitReady();
  }

  /**
   * One saw cycle, as the device wrote it down before it showed it to anybody.
   *
   * @param count the number of the cycle since the device was started, from 1
   * @param position where the stop stood, in the device's own unit
   */
  public record TrueCut(long count, BigDecimal position, Instant at) {}

  /** Skips a test where the devices cannot be run, or fails it where every peer is required. */
  public static void require() throws InterruptedException {
    Node.require();
  }

  /** Starts the device of {@code feeder.md}: inches, strobe and echo, a stroke counter. */
  public static NodePeer feeder(Path folder, String... options)
      throws IOException, InterruptedException {
    return start(folder, "feeder", command("opcua-peer.js", "--profile", "strobe"), options);
  }

  /** Starts the device of {@code pusher.md}: encoder counts, a function block, a cut pulse. */
  public static NodePeer pusher(Path folder, String... options)
      throws IOException, InterruptedException {
    return start(folder, "pusher", command("opcua-peer.js", "--profile", "plcopen"), options);
  }

  /** Starts the device of {@code line2.md} at a broker on loopback; it remembers its power-ups. */
  public static NodePeer line2(Path folder, int brokerPort, String... options)
      throws IOException, InterruptedException {
    String memory = folder.resolve("line2.memory.json").toString();
    String broker = "mqtt://127.0.0.1:" + brokerPort;
    return start(
        folder, "line2", command("mqtt-peer.js", "--broker", broker, "--memory", memory), options);
  }

  private static List<String> command(String script, String... options) {
    List<String> command = new ArrayList<>();
    command.add(Node.PROGRAM);
    command.add(Node.FOLDER.resolve(script).toString());
    command.addAll(List.of(options));
    return command;
  }

  private static NodePeer start(Path folder, String name, List<String> command, String... options)
      throws IOException, InterruptedException {
    Path truth = folder.resolve(name + ".truth.csv");
    Path log = folder.resolve(name + ".log");
    command.addAll(List.of("--truth", truth.toString()));
    command.addAll(List.of(options));
    ProcessBuilder builder =
        new ProcessBuilder(command).redirectError(ProcessBuilder.Redirect.appendTo(log.toFile()));
    // What a device that is killed leaves behind goes with the test's folder.
    builder.environment().put("TMPDIR", folder.toString());
    return new NodePeer(builder.start(), truth, log);
  }

  private JsonNode awaitReady() throws InterruptedException {
    CompletableFuture<String> line = new CompletableFuture<>();
    Thread reader =
        new Thread(
            () -> {
              try (BufferedReader out = process.inputReader()) {
                line.complete(String.valueOf(out.readLine()));
                // Nothing more is expected; what comes all the same must not block the device.
                while (out.readLine() != null) {}
              } catch (IOException e) {
                line.completeExceptionally(e);
              }
            },
            "peer-" + process.pid());
    reader.setDaemon(true);
    reader.start();
    try {
      JsonNode said = JSON.readTree(line.get(START_SECONDS, TimeUnit.SECONDS));
      if (!said.path("ready").asBoolean()) {
        throw new IllegalStateException("it says " + said);
      }
      return said;
    } catch (IOException | ExecutionException | TimeoutException | RuntimeException e) {
      process.destroyForcibly();
      throw new IllegalStateException("the device does not serve: " + said(), e);
    }
  }

  /** Returns the address of an OPC UA device. */
  public String endpoint() {
    return ready.required("endpoint").textValue();
  }

  /** Returns the port of an OPC UA device, to start it there again with {@code --port}. */
  public int port() {
    return ready.required("port").intValue();
  }

  /** Returns the process id. */
  public long pid() {
    return process.pid();
  }

  /** Returns the saw cycles written down so far, by every device of this kind in its folder. */
  public List<TrueCut> truth() throws IOException {
    if (!Files.exists(truth)) {
      return List.of();
    }
    String text = Files.readString(truth);
    // A line without its end is being written, or was torn by a kill and never shown.
    return text.substring(0, text.lastIndexOf('\n') + 1)
        .lines()
        .map(line -> line.split(",", TRUTH_FIELDS))
        .map(f -> new TrueCut(Long.parseLong(f[0]), new BigDecimal(f[1]), Instant.parse(f[2])))
        .toList();
  }

  /** Returns what the device and its stack said on standard error. */
  public String said() {
    try {
      return Files.exists(log) ? Files.readString(log) : "";
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Asks the device to end, as SIGTERM does, and returns its exit code. */
  public int end() throws InterruptedException {
    process.destroy();
    return ended("does not heed SIGTERM");
  }

  /** Closes the device's standard input, as the end of this JVM would; returns its exit code. */
  int orphan() throws IOException, InterruptedException {
    process.getOutputStream().close();
    return ended("outlives who started it");
  }

  /** Kills the device without warning. */
  public void kill() throws InterruptedException {
    process.destroyForcibly();
    ended("does not end");
  }

  private int ended(String otherwise) throws InterruptedException {
    if (!process.waitFor(END_SECONDS, TimeUnit.SECONDS)) {
      throw new AssertionError("device " + pid() + " " + otherwise);
    }
    return process.exitValue();
  }

  @Override
  public void close() throws InterruptedException {
    kill();
  }
}
