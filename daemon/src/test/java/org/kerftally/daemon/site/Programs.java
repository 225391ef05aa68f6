package org.kerftally.daemon.site;

import java.io.File;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;

/**
 * Starts the programs as they are shipped, each in a process of its own with a file for what it
 * says, and ends those it started, by their handles.
 */
public final class Programs implements AutoCloseable {

  /** The folder of the jars: {@code daemon/} and {@code sim-device/} with their targets. */
  private static final String BUILD = "kerftally.build";

  private static final String JAVA =
      Path.of(System.getProperty("java.home"), "bin", "java").toString();

  /** Far more than any end takes. */
  private static final long END_SECONDS = 60;

  private final Path logs;
  private final List<Process> started = new ArrayList<>();

  /** Keeps what the programs say in a folder. */
  public Programs(Path logs) throws IOException {
    this.logs = Files.createDirectories(logs);
  }

  /** Returns the service's jar. */
  public static Path daemonJar() {
    return build().resolve("daemon/target/kerftally.jar");
  }

  /** Returns the simulated device's jar. */
  public static Path deviceJar() {
    return build().resolve("sim-device/target/kerftally-sim-device.jar");
  }

  private static Path build() {
    return Path.of(System.getProperty(BUILD, ".."));
  }

  /** Starts a jar; what it says goes to the end of {@code NAME.log}. */
  public Process java(String name, List<String> jvm, Path jar, List<String> arguments)
      throws IOException {
    List<String> command = new ArrayList<>();
    command.add(JAVA);
    command.addAll(jvm);
    command.add("-jar");
    command.add(jar.toString());
    command.addAll(arguments);
    return start(name, command);
  }

  /** Starts any program; what it says goes to the end of {@code NAME.log}. */
  public Process start(String name, List<String> command) throws IOException {
    Process process =
        new ProcessBuilder(command)
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.appendTo(log(name).toFile()))
            .start();
    started.add(process);
    return process;
  }

  /** Returns the file that holds what the programs of a name said. */
  public Path log(String name) {
    return logs.resolve(name + ".log");
  }

  /** Returns what the programs of a name said. */
  public String said(String name) throws IOException {
    File file = log(name).toFile();
    return file.exists() ? Files.readString(file.toPath()) : "";
  }

  /** Kills a process without warning, as {@code kill -9} does, and waits until it is gone. */
  public static void kill(Process process) throws InterruptedException {
    if (!process.destroyForcibly().waitFor(END_SECONDS, TimeUnit.SECONDS)) {
      throw new AssertionError("process " + process.pid() + " does not end");
    }
  }

  /** Asks a process to end, as SIGTERM does, and returns its exit code. */
  public static int end(Process process) throws InterruptedException {
    process.destroy();
    if (!process.waitFor(END_SECONDS, TimeUnit.SECONDS)) {
      throw new AssertionError("process " + process.pid() + " does not heed SIGTERM");
    }
    return process.exitValue();
  }

  /** Returns a port on loopback that nobody listens on now. */
  public static int freePort() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    }
  }

  @Override
  public void close() throws InterruptedException {
    started.forEach(Process::destroyForcibly);
    for (Process process : started) {
      process.waitFor(END_SECONDS, TimeUnit.SECONDS);
    }
  }
}
