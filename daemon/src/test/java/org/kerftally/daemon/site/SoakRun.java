package org.kerftally.daemon.site;

import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.shared.event.Recorded;

/** Runs the shop for a time, measures it, and holds its log against its devices at the end. */
final class SoakRun implements AutoCloseable {

  private static final Duration SAMPLE_EVERY = Duration.ofSeconds(10);
  private static final Duration COLLECT_EVERY = Duration.ofMinutes(10);
  private static final Duration READY_WITHIN = Duration.ofMinutes(2);

  /** How long the last pieces may take once nothing is dropped any more. */
  private static final Duration END_WITHIN = Duration.ofMinutes(20);

  private static final List<String> JVM = List.of("-Xmx256m");

  private final Path folder;
  private final Duration length;
  private final SoakSite shop;
  private final SiteFolder site;
  private final JobFeed feed;
  private final SoakFaults faults;
  private final Samples samples;
  private final HttpClient http = HttpClient.newHttpClient();
  private final long startNanos = System.nanoTime();

  SoakRun(Path folder, Duration length, double speed) throws IOException, InterruptedException {
    this.folder = folder;
    this.length = length;
    SplittableRandom random = new SplittableRandom(1);
    shop = new SoakSite(folder, speed, JVM);
    site = new SiteFolder(shop.site());
    feed = new JobFeed(site, SoakSite.STATIONS, random.split());
    faults = new SoakFaults(shop, random.split(), length, folder.resolve("faults.csv"));
    samples = new Samples(folder.resolve("samples.csv"));
  }

  private Duration elapsed() {
    return Duration.ofNanos(System.nanoTime() - startNanos);
  }

  /** Runs it and returns every difference between log and devices. */
  List<String> run() throws IOException, InterruptedException {
    await("the service is ready")
        .atMost(READY_WITHIN)
        .until(() -> Files.readString(shop.serviceLog()).contains("ready"));
    Duration nextLook = Duration.ZERO;
    Duration nextCollection = COLLECT_EVERY.dividedBy(2);
    while (elapsed().compareTo(length) < 0) {
      if (!shop.service().isAlive()) {
        throw new IllegalStateException("the service ended: " + shop.serviceLog());
      }
      faults.step(elapsed());
      if (elapsed().compareTo(nextLook) >= 0) {
        nextLook = nextLook.plus(SAMPLE_EVERY);
        feed.feed();
        sample();
      }
      if (elapsed().compareTo(nextCollection) >= 0) {
        nextCollection = nextCollection.plus(COLLECT_EVERY);
        collect();
      }
      TimeUnit.MILLISECONDS.sleep(200);
    }
    faults.end();
    await("all that was dropped is made and every cycle is booked")
        .atMost(END_WITHIN)
        .pollInterval(SAMPLE_EVERY)
        .until(() -> feed.isMade() && cuts() == booked());
    sample();
    collect();
    int code = Programs.end(shop.service());
    return conclude(code);
  }

  private long cuts() throws IOException {
    long cuts = 0;
    for (String station : SoakSite.STATIONS) {
      cuts += lines(shop.truth(station));
    }
    return cuts;
  }

  private long booked() {
    return Long.parseLong(site.rows("select count(*) from cut_log where count is not null").get(0));
  }

  private void sample() throws IOException, InterruptedException {
    ProcessFigures service = ProcessFigures.of(shop.service().pid());
    Map<String, Double> sample = new LinkedHashMap<>();
    sample.put("seconds", (double) elapsed().toSeconds());
    sample.put("rss_kb", (double) service.rssKb());
    sample.put("heap_kb", (double) service.heapKb());
    sample.put("threads", (double) service.threads());
    sample.put("handles", (double) service.handles());
    sample.put("cpu_ms", (double) service.cpuMillis());
    sample.put("db_bytes", size("kerftally.db"));
    sample.put("wal_bytes", size("kerftally.db-wal"));
    sample.put("log_bytes", (double) Files.size(shop.serviceLog()));
    sample.put("results_files", (double) results().size());
    sample.put("results_bytes", (double) results().stream().mapToLong(SoakRun::bytes).sum());
    sample.put("jobs", (double) feed.jobs());
    for (String station : SoakSite.STATIONS) {
      sample.put(station + "_cuts", (double) lines(shop.truth(station)));
    }
    sample.put("troubles", (double) faults.count());
    sample.put("stations_json_bytes", (double) page("/api/stations"));
    sample.put("metrics_bytes", (double) page("/metrics"));
    samples.add(sample);
  }

  private long page(String path) throws IOException, InterruptedException {
    HttpRequest request =
        HttpRequest.newBuilder(URI.create(shop.boardUrl() + path))
            .timeout(Duration.ofSeconds(30))
            .build();
    return http.send(request, HttpResponse.BodyHandlers.ofByteArray()).body().length;
  }

  private double size(String name) {
    return bytes(shop.site().resolve(name));
  }

  private List<Path> results() throws IOException {
    Path results = shop.site().resolve("results");
    if (!Files.exists(results)) {
      return List.of();
    }
    try (Stream<Path> all = Files.walk(results)) {
      return all.filter(Files::isRegularFile).toList();
    } catch (java.io.UncheckedIOException e) {
      // A file was replaced while the folder was read.
      return List.of();
    }
  }

  private static long bytes(Path file) {
    try {
      return Files.size(file);
    } catch (NoSuchFileException e) {
      return 0;
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  private static long lines(Path file) throws IOException {
    if (!Files.exists(file)) {
      return 0;
    }
    try (Stream<String> lines = Files.lines(file)) {
      return lines.count();
    }
  }

  /** Writes down what the service holds when all garbage is gone. */
  private void collect() throws IOException, InterruptedException {
    String histogram = ProcessFigures.histogram(shop.service().pid());
    long minute = elapsed().toMinutes();
    Files.writeString(folder.resolve("histogram-" + minute + ".txt"), histogram);
    String[] total = histogram.strip().split("\n", -1);
    Files.writeString(
        folder.resolve("live.csv"),
        minute + "," + total[total.length - 1].strip().replaceAll("\\s+", ",") + "\n",
        StandardOpenOption.CREATE,
        StandardOpenOption.APPEND);
  }

  private List<String> conclude(int exitCode) throws IOException {
    List<String> differences = new ArrayList<>();
    if (exitCode != 0) {
      differences.add("the service ended with " + exitCode);
    }
    List<String> summary = new ArrayList<>();
    summary.add("# Soak, ended " + Instant.now());
    summary.add("");
    summary.addAll(samples.table(Math.min(Samples.WARM_UP_SECONDS, length.toSeconds() / 5.0)));
    summary.add("");
    List<Recorded> events = new ArrayList<>();
    try (CutLog log = CutLog.open(shop.site().resolve("kerftally.db"), Clock.systemUTC())) {
      log.replay(events::add);
    }
    for (String station : SoakSite.STATIONS) {
      List<Recorded> own = events.stream().filter(e -> station.equals(e.station())).toList();
      DeviceTruth truth = DeviceTruth.read(shop.truth(station), shop.moves(station));
      Agreement agreement = Agreement.of(truth, own);
      List<String> breaches = MotionCheck.breaches(truth, own);
      List<String> parts = PartsCheck.differences(truth, own);
      summary.add(
          station
              + ": "
              + agreement.cycles()
              + " saw cycles, booked as "
              + agreement.kinds()
              + ", differences "
              + agreement.differences().size()
              + ", parts that disagree "
              + parts.size()
              + ", moves without an acknowledge "
              + breaches.size());
      summary.addAll(LinkTimes.of(own).lines());
      agreement.differences().forEach(d -> differences.add(station + ": " + d));
      breaches.forEach(d -> differences.add(station + ": " + d));
      parts.forEach(d -> differences.add(station + ": " + d));
    }
    summary.add("");
    summary.add("link troubles: " + faults.counts());
    summary.add("jobs: " + feed.jobs() + ", pieces: " + feed.pieces());
    summary.add("differences: " + differences);
    Files.write(folder.resolve("summary.md"), summary);
    return differences;
  }

  @Override
  public void close() throws InterruptedException {
    faults.end();
    shop.close();
  }
}
