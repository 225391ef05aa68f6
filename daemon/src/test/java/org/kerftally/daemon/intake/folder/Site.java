package org.kerftally.daemon.intake.folder;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.stream.Stream;
import org.kerftally.config.IntakeConfig;
import org.kerftally.daemon.intake.Facts;
import org.kerftally.daemon.intake.ShopFacts;

/** A site in a temporary folder with a hand-moved clock, a lasting log and files that may fail. */
final class Site {

  static final String SIDES = "part,length,qty,material\nside,505,40,pine-19x146\n";
  static final String ENDS = "part,length,qty,material\nend,413,40,pine-19x146\n";
  static final String BAD = "part,length,qty,material\nside,12x,0,pine-19x146\n";
  static final Instant START = Instant.parse("2027-03-02T06:00:00Z");

  final Path folder;
  final FakeLog log = new FakeLog();
  FaultyOps ops = new FaultyOps();
  InboxWatcher watcher;
  ShopFacts facts = Facts.shop();

  /** Starts below zero, as a monotonic clock may. */
  private long nanos = -Duration.ofMinutes(1).toNanos();

  Site(Path folder) {
    this.folder = folder;
    start();
  }

  /** Starts the watcher anew, as after a crash: only folder and log are left. */
  void start() {
    ops = new FaultyOps();
    watcher = new InboxWatcher(folder, config(), ops, clocks(), () -> facts, log, log);
  }

  static IntakeConfig config() {
    return IntakeConfig.DEFAULT;
  }

  Clocks clocks() {
    return new Clocks(() -> nanos, () -> START.plusNanos(nanos));
  }

  void failAs(FaultPlan plan) {
    ops.failAs(plan);
    log.failAs(plan);
  }

  void pass(Duration time) {
    nanos += time.toNanos();
  }

  /** Lets a time pass in steps of half a second, and looks at each. */
  void watch(Duration time) {
    for (long millis = 0; millis <= time.toMillis(); millis += 500) {
      watcher.doWork();
      pass(Duration.ofMillis(500));
    }
  }

  /** Watches long enough for a file that needs no patience. */
  void watch() {
    watch(Duration.ofSeconds(3));
  }

  Path inbox(String name) {
    return folder.resolve("inbox").resolve(name);
  }

  Path refused(String name) {
    return folder.resolve("refused").resolve(name);
  }

  Path taken(String name) {
    return folder.resolve("taken").resolve(name);
  }

  void drop(String name, String text) {
    write(inbox(name), text);
  }

  static void write(Path file, String text) {
    try {
      Files.createDirectories(file.getParent());
      Files.writeString(file, text);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  static String text(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Returns the names in one of the folders, sorted. */
  List<String> names(String sub) {
    try (Stream<Path> files = Files.list(folder.resolve(sub))) {
      return files.map(file -> file.getFileName().toString()).sorted().toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  List<String> inbox() {
    return names("inbox");
  }

  List<String> taken() {
    return names("taken");
  }

  List<String> refused() {
    return names("refused");
  }
}
