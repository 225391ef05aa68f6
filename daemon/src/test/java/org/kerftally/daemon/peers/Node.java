package org.kerftally.daemon.peers;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Assumptions;

/** Finds Node.js and what {@code npm ci} has installed for the devices, or says what is missing. */
final class Node {

  static final String PROGRAM = "node";

  /** Where the devices are, seen from the module's folder, which is where tests run. */
  static final Path FOLDER = Path.of("src/test/peers").toAbsolutePath();

  /** The first that loads modules the way the devices' stacks are written. */
  private static final int LEAST_MAJOR = 20;

  private static final int LEAST_MINOR = 19;
  private static final long VERSION_SECONDS = 30;
  private static final Pattern VERSION = Pattern.compile("v(\\d{1,4})\\.(\\d{1,4})\\.\\d+");

  private Node() {}

  /** Skips a test where something is missing, or fails it where every peer is required. */
  static void require() throws InterruptedException {
    String missing = missing();
    if (!missing.isEmpty() && Boolean.getBoolean("kerftally.require.peers")) {
      throw new AssertionError("kerftally.require.peers is set, and " + missing);
    }
    Assumptions.assumeTrue(missing.isEmpty(), "skipped: " + missing);
  }

  private static String missing() throws InterruptedException {
    String version;
    try {
      Process process = new ProcessBuilder(PROGRAM, "--version").start();
      if (!process.waitFor(VERSION_SECONDS, TimeUnit.SECONDS)) {
        process.destroyForcibly();
        return "Node.js does not say its version";
      }
      byte[] said = process.getInputStream().readAllBytes();
      version = new String(said, StandardCharsets.UTF_8).strip();
    } catch (IOException e) {
      return "there is no Node.js";
    }
    if (!isEnough(version)) {
      return "Node.js is " + version + ", too old for the devices";
    }
    return Files.isDirectory(FOLDER.resolve("node_modules/node-opcua-server"))
        ? ""
        : "`npm ci` was not run in " + FOLDER;
  }

  static boolean isEnough(String version) {
    Matcher parts = VERSION.matcher(version);
    if (!parts.matches()) {
      return false;
    }
    int major = Integer.parseInt(parts.group(1));
    return major > LEAST_MAJOR
        || (major == LEAST_MAJOR && Integer.parseInt(parts.group(2)) >= LEAST_MINOR);
  }
}
