package org.kerftally.daemon.site;

import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Assumptions;

/**
 * Runs a device of {@code src/test/peers}: programs on stacks that nobody here wrote, which know
 * nothing of the device contract. Their data sheets lie beside them.
 */
final class NodePeer {

  private static final Path FOLDER = Path.of("src/test/peers");
  private static final Path NODE = Path.of("/usr/bin/node");
  private static final Duration PATIENCE = Duration.ofSeconds(60);
  private static final Pattern ENDPOINT = Pattern.compile("\"endpoint\":\"([^\"]+)\"");

  private final Programs programs;
  private final String name;
  private final Process process;

  private NodePeer(Programs programs, String name, Process process) {
    this.programs = programs;
    this.name = name;
    this.process = process;
  }

  /** Skips a test where there is none, or fails it where every peer is required. */
  static void require() {
    boolean present = Files.isExecutable(NODE) && Files.isDirectory(FOLDER.resolve("node_modules"));
    if (!present && Boolean.getBoolean("kerftally.require.peers")) {
      throw new AssertionError(
          "kerftally.require.peers is set, and there is no " + NODE + " or no `npm ci` was run");
    }
    Assumptions.assumeTrue(present, "skipped: no node, or no `npm ci` in daemon/" + FOLDER);
  }

  /** Starts a program and waits until it serves. */
  static NodePeer start(Programs programs, String name, String program, List<String> options)
      throws IOException {
    List<String> command = new ArrayList<>();
    command.add(NODE.toString());
    command.add(FOLDER.resolve(program).toAbsolutePath().toString());
    command.addAll(options);
    NodePeer peer = new NodePeer(programs, name, programs.start(name, command));
    await(name + " serves")
        .atMost(PATIENCE)
        .failFast(name + " ended", () -> !peer.process.isAlive())
        .until(() -> peer.said().contains("\"ready\":true"));
    return peer;
  }

  /** Returns the address of a device on OPC UA. */
  String endpoint() throws IOException {
    Matcher endpoint = ENDPOINT.matcher(said());
    if (!endpoint.find()) {
      throw new IllegalStateException("no endpoint in " + said());
    }
    return endpoint.group(1);
  }

  String said() {
    try {
      return programs.said(name);
    } catch (IOException e) {
      return e.toString();
    }
  }
}
