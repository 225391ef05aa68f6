package org.kerftally.daemon.cli.demo;

import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.net.BindException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Clock;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.daemon.cli.Site;
import org.kerftally.daemon.cutlog.SiteHeldException;
import org.kerftally.daemon.results.JobTallies;
import org.kerftally.daemon.results.JobTally;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobReopened;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.mqtt.MqttDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;

/**
 * Holds a running demo: a simulated saw, a server in front of it, and a site that drives it over
 * the real protocol. Everything goes the way it goes in a workshop: a configuration file is read,
 * job files are dropped in the inbox, the log is compared with what the saw wrote down.
 */
final class Demo implements AutoCloseable {

  private static final String STATION = "saw1";
  private static final int USUAL_PORT = 8418;
  private static final List<String> JOBS =
      List.of("comb-honey-supers.csv", "hive-stands.csv", "greenhouse-frames.json");

  private final List<AutoCloseable> opened = new ArrayList<>();
  private static final long LAST_LOOK_SECONDS = 3;

  private final CompletableFuture<Void> allEnded = new CompletableFuture<>();
  private final Set<String> ended = ConcurrentHashMap.newKeySet();
  private final JobTallies tallies = new JobTallies();
  private final Path truth;
  private final PrintWriter out;
  private final Site site;

  private Demo(Path folder, DemoLink link, double speed, PrintWriter out)
      throws IOException, SiteHeldException {
    this.out = out;
    Files.createDirectories(folder.resolve("inbox"));
    truth = folder.resolve("truth.csv");
    try {
      SimDevice device = SimDevice.open(device(folder, speed));
      opened.add(device);
      Path config = folder.resolve("kerftally.yaml");
      Files.writeString(config, yaml(serve(device, link), freePort(USUAL_PORT)));
      copy("stock.csv", folder.resolve("stock.csv"));
      ConfigResult read = ConfigReader.read(config);
      if (!(read instanceof ConfigResult.Good good)) {
        throw new IllegalStateException("the demo's own configuration is bad: " + read);
      }
      site = Site.open(good.config(), Clock.systemUTC());
      opened.add(site);
      site.log().follow(this::follow);
      for (String job : JOBS) {
        copy(job, folder.resolve("inbox").resolve(job));
      }
    } catch (IOException | SiteHeldException | RuntimeException e) {
      close();
      throw e;
    }
    out.println("A simulated saw over " + link + ", " + speed + " times as fast as a real one.");
    out.println("Folder: " + folder.toAbsolutePath());
    out.println("Board:  " + site.boardUrl());
    out.flush();
  }

  /** Starts a demo in a folder. */
  static Demo start(Path folder, DemoLink link, double speed, PrintWriter out)
      throws IOException, SiteHeldException {
    return new Demo(folder, link, speed, out);
  }

  private SimConfig device(Path folder, double speed) {
    return SimConfig.standard(STATION)
        .withSpeed(speed)
        .withTruth(truth)
        .withMemory(folder.resolve("device-memory"));
  }

  private String serve(SimDevice device, DemoLink link) {
    DeviceServer server;
    String address;
    if (link == DemoLink.OPCUA) {
      server = new OpcUaDeviceServer(device, 0);
      address = "opcua: { endpoint: \"" + server.address() + "\" }";
    } else {
      EmbeddedBroker broker = EmbeddedBroker.start();
      opened.add(broker);
      server = new MqttDevice(device, broker.url(), "kerftally/v1/" + STATION + "/");
      address = "mqtt: { broker: \"" + broker.url() + "\" }";
    }
    opened.add(server);
    return address;
  }

  private static String yaml(String link, int boardPort) {
    return String.join(
        "\n",
        "# Made by the demo; yours looks much the same.",
        "folder: .",
        "board: 127.0.0.1:" + boardPort,
        "stations:",
        "  - name: " + STATION,
        "    layout: outfeed-stop",
        "    kerf: 3.2 mm",
        "    lead-trim: 10 mm",
        "    travel: { min: 20 mm, max: 4000 mm }",
        "    link:",
        "      " + link,
        "materials:",
        "  alu-tube-30x30: { kerf: 2.4 mm, min-offcut: 400 mm }",
        "");
  }

  /** The usual port, or any free one where the usual one is taken. */
  private static int freePort(int usual) throws IOException {
    try (ServerSocket socket = new ServerSocket(usual, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    } catch (BindException e) {
      try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
        return socket.getLocalPort();
      }
    }
  }

  /** Copies a sample as a careful person would: under another name first, then renamed. */
  private static void copy(String sample, Path to) throws IOException {
    Path part = to.resolveSibling(to.getFileName() + ".part");
    try (InputStream in = Objects.requireNonNull(Demo.class.getResourceAsStream(sample), sample)) {
      Files.copy(in, part, StandardCopyOption.REPLACE_EXISTING);
    }
    Files.move(part, to, StandardCopyOption.ATOMIC_MOVE);
  }

  private synchronized void follow(Recorded recorded) {
    tallies.apply(recorded);
    if (recorded.event() instanceof JobEnded end) {
      ended.add(end.job());
      if (ended.size() >= JOBS.size()) {
        CompletableFuture.delayedExecutor(LAST_LOOK_SECONDS, TimeUnit.SECONDS)
            .execute(this::endUnlessReopened);
      }
    } else if (recorded.event() instanceof JobReopened again) {
      ended.remove(again.job());
    }
  }

  /** The operator may still reject the last piece, which opens its job again. */
  private synchronized void endUnlessReopened() {
    if (ended.size() >= JOBS.size()) {
      allEnded.complete(null);
    }
  }

  /** Is completed when every sample job has ended and stayed so. */
  CompletableFuture<Void> allEnded() {
    return allEnded;
  }

  /** Is completed with what ended a part of the site against its will. */
  CompletableFuture<Throwable> failed() {
    return site.failed();
  }

  /** Prints what was made and how log and truth compare; tells whether all is as it should be. */
  boolean report() throws IOException {
    List<JobTally> jobs;
    synchronized (this) {
      jobs = tallies.all();
    }
    boolean whole = true;
    Length good = Length.ZERO;
    Length used = Length.ZERO;
    out.println();
    for (JobTally job : jobs) {
      out.printf(
          Locale.ROOT,
          "%-20s %3d of %3d made, %d rejected, %d sticks, yield %.1f %%%n",
          job.order().name(),
          job.made(),
          job.wanted(),
          job.rejected(),
          job.sticks().loaded(),
          job.sticks().yieldShare().doubleValue() * 100);
      whole &= job.made() == job.wanted();
      good = good.plus(job.sticks().good());
      used = used.plus(job.sticks().used());
    }
    double yield = used.isPositive() ? 100.0 * good.nm() / used.nm() : 0;
    out.printf(Locale.ROOT, "Yield of all: %.1f %%%n", yield);
    TruthCheck.Verdict verdict = TruthCheck.compare(site.log(), STATION, truth);
    if (verdict.agrees()) {
      out.println(
          "Log and truth agree cut by cut: " + verdict.cycles() + " saw cycles, each booked once.");
    } else {
      out.println("Log and truth do not agree:");
      verdict.differences().forEach(difference -> out.println("  " + difference));
    }
    out.flush();
    return whole && verdict.agrees();
  }

  /** Removes a folder with all that is in it. */
  static void remove(Path folder) throws IOException {
    try (Stream<Path> inside = Files.walk(folder)) {
      for (Path path : inside.sorted(Comparator.reverseOrder()).toList()) {
        Files.deleteIfExists(path);
      }
    }
  }

  @Override
  public void close() {
    Collections.reverse(opened);
    for (AutoCloseable part : opened) {
      try {
        part.close();
      } catch (Exception e) {
        out.println("A part did not close: " + e);
      }
    }
    opened.clear();
  }
}
