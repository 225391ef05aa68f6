package org.kerftally.daemon.site;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * Lets one trouble after another befall the links of the shop, every few minutes.
 *
 * <p>The first station is left alone for most of the time, so that its secure channel gets old
 * enough for its keys to be renewed.
 */
final class SoakFaults {

  private static final Duration MOST = Duration.ofSeconds(20);
  private static final int LEAST_PAUSE_SECONDS = 60;
  private static final int MOST_PAUSE_SECONDS = 150;

  /** Which part of the time the first station is left alone, in percent. */
  private static final int UNDISTURBED_PERCENT = 85;

  private final SoakSite shop;
  private final SplittableRandom random;
  private final Duration disturbFirstAfter;
  private final Path file;
  private final Map<String, Integer> counts = new TreeMap<>();
  private Duration next;
  private @Nullable Thread running;

  SoakFaults(SoakSite shop, SplittableRandom random, Duration length, Path file) {
    this.shop = shop;
    this.random = random;
    this.disturbFirstAfter = length.multipliedBy(UNDISTURBED_PERCENT).dividedBy(100);
    this.file = file;
    this.next = pause();
  }

  private Duration pause() {
    return Duration.ofSeconds(random.nextInt(LEAST_PAUSE_SECONDS, MOST_PAUSE_SECONDS));
  }

  /** Begins the next trouble when it is due. */
  void step(Duration elapsed) throws IOException {
    if (elapsed.compareTo(next) < 0) {
      return;
    }
    next = elapsed.plus(pause());
    List<String> stations =
        elapsed.compareTo(disturbFirstAfter) < 0
            ? SoakSite.STATIONS.subList(1, SoakSite.STATIONS.size())
            : SoakSite.STATIONS;
    String station = stations.get(random.nextInt(stations.size()));
    List<FaultProxy> proxies = shop.proxies(station);
    int leg = random.nextInt(proxies.size());
    LinkTrouble trouble = LinkTrouble.draw(random, MOST);
    counts.merge(trouble.kind(), 1, Integer::sum);
    Files.writeString(
        file,
        String.join(
                ",",
                Instant.now().toString(),
                station,
                proxies.size() == 1
                    ? "service-device"
                    : leg == 0 ? "device-broker" : "service-broker",
                trouble.kind(),
                "" + trouble.length().toMillis(),
                trouble.weather().toString())
            + "\n",
        StandardOpenOption.CREATE,
        StandardOpenOption.APPEND);
    Thread thread = new Thread(() -> befall(trouble, proxies.get(leg)), "trouble");
    thread.setDaemon(true);
    running = thread;
    thread.start();
  }

  private static void befall(LinkTrouble trouble, FaultProxy proxy) {
    try {
      trouble.befall(proxy);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  int count() {
    return counts.values().stream().mapToInt(n -> n).sum();
  }

  Map<String, Integer> counts() {
    return counts;
  }

  /** Waits for the trouble under way, and lets everything pass. */
  void end() throws InterruptedException {
    Thread thread = running;
    if (thread != null) {
      thread.join(2 * MOST.toMillis());
    }
    for (String station : SoakSite.STATIONS) {
      shop.proxies(station).forEach(FaultProxy::clear);
    }
  }
}
