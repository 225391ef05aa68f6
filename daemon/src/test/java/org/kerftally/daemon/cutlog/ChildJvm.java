package org.kerftally.daemon.cutlog;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/** Runs a class of these tests in a JVM of its own, to be killed. */
final class ChildJvm {

  private static final long END_SECONDS = 60;

  /** Marks what the class itself says; a library may print to the same stream. */
  private static final String MARK = "child: ";

  private final Process process;
  private final BufferedReader out;

  private ChildJvm(Process process) {
    this.process = process;
    this.out =
        new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8));
  }

  static ChildJvm start(Class<?> main, String... args) throws IOException {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.add("-Xmx128m");
    command.add("-XX:TieredStopAtLevel=1");
    command.add("-cp");
    command.add(System.getProperty("java.class.path"));
    command.add(main.getName());
    command.addAll(List.of(args));
    ProcessBuilder builder = new ProcessBuilder(command);
    builder.redirectError(ProcessBuilder.Redirect.INHERIT);
    return new ChildJvm(builder.start());
  }

  long pid() {
    return process.pid();
  }

  /** Says something to the parent, from within the child. */
  static void say(Object line) {
    System.out.println(MARK + line);
  }

  /** Returns the next thing it says, or null when it has ended. */
  @Nullable String readLine() throws IOException {
    for (String line = out.readLine(); line != null; line = out.readLine()) {
      if (line.startsWith(MARK)) {
        return line.substring(MARK.length());
      }
    }
    return null;
  }

  /** Kills it without warning, as {@code kill -9} does, and returns what it had still said. */
  List<String> kill() throws IOException, InterruptedException {
    // Through its handle, since Process itself would close the pipe with what was said.
    process.toHandle().destroyForcibly();
    if (!process.waitFor(END_SECONDS, TimeUnit.SECONDS)) {
      throw new AssertionError("process " + pid() + " did not end");
    }
    List<String> rest = new ArrayList<>();
    for (String line = readLine(); line != null; line = readLine()) {
      rest.add(line);
    }
    return rest;
  }
}
