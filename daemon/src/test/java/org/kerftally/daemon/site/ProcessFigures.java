package org.kerftally.daemon.site;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;

/**
 * Looks at a Java process from outside: proc(5) for what the system gives it, jstat(1) for its
 * heap. Nothing is started inside the process.
 *
 * @param rssKb resident memory
 * @param heapKb heap in use, what waits for the collector included
 * @param threads threads
 * @param handles open files, sockets and pipes
 * @param cpuMillis processor time used so far
 */
record ProcessFigures(long rssKb, long heapKb, long threads, long handles, long cpuMillis) {

  private static final long TOOL_SECONDS = 30;

  /** The kernel's unit of processor time in /proc/PID/stat on every Linux of today. */
  private static final long MILLIS_PER_TICK = 10;

  /** The fields of /proc/PID/stat, counted behind the name's closing bracket. */
  private static final int USER_TIME = 11;

  private static final int SYSTEM_TIME = 12;

  static ProcessFigures of(long pid) throws IOException, InterruptedException {
    Path proc = Path.of("/proc/" + pid);
    String status = Files.readString(proc.resolve("status"));
    String stat = Files.readString(proc.resolve("stat"));
    String[] times = stat.substring(stat.lastIndexOf(')') + 2).split(" ", -1);
    long ticks = Long.parseLong(times[USER_TIME]) + Long.parseLong(times[SYSTEM_TIME]);
    long handles;
    try (Stream<Path> open = Files.list(proc.resolve("fd"))) {
      handles = open.count();
    }
    return new ProcessFigures(
        field(status, "VmRSS:"),
        heapKb(pid),
        field(status, "Threads:"),
        handles,
        ticks * MILLIS_PER_TICK);
  }

  private static long field(String status, String name) {
    return status
        .lines()
        .filter(line -> line.startsWith(name))
        .mapToLong(line -> Long.parseLong(line.replaceAll("[^0-9]", "")))
        .findFirst()
        .orElseThrow();
  }

  private static long heapKb(long pid) throws IOException, InterruptedException {
    String[] lines = tool("jstat", "-gc", "" + pid).strip().split("\n", -1);
    String[] names = lines[0].strip().split("\\s+", -1);
    String[] values = lines[1].strip().split("\\s+", -1);
    double used = 0;
    for (int i = 0; i < names.length; i++) {
      if (Stream.of("S0U", "S1U", "EU", "OU").anyMatch(names[i]::equals)) {
        used += Double.parseDouble(values[i]);
      }
    }
    return Math.round(used);
  }

  /**
   * Collects all garbage and returns what is left of each class, and the total in the last line.
   */
  static String histogram(long pid) throws IOException, InterruptedException {
    return tool("jcmd", "" + pid, "GC.class_histogram");
  }

  private static String tool(String name, String... arguments)
      throws IOException, InterruptedException {
    String[] command = new String[arguments.length + 1];
    command[0] = Path.of(System.getProperty("java.home"), "bin", name).toString();
    System.arraycopy(arguments, 0, command, 1, arguments.length);
    Process process = new ProcessBuilder(command).start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    if (!process.waitFor(TOOL_SECONDS, TimeUnit.SECONDS) || process.exitValue() != 0) {
      throw new IOException(name + " did not do its work");
    }
    return said;
  }
}
