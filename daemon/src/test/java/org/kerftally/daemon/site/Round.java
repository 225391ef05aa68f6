package org.kerftally.daemon.site;

import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.cutlog.CutLog;
import org.kerftally.daemon.site.RoundPlan.Blow;
import org.kerftally.daemon.site.RoundPlan.Link;
import org.kerftally.daemon.site.RoundPlan.Victim;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.StationEvent.LinkUp;
import org.kerftally.shared.event.StationEvent.PieceRejected;

/**
 * Runs one job on a shop of real processes that die and on a network that fails, and holds the log
 * against what the device wrote down, cut by cut.
 */
final class Round implements AutoCloseable {

  private static final String STATION = "saw1";
  private static final String JOB = "supers";

  /** Small and quick to start: they start often here. */
  private static final List<String> QUICK =
      List.of("-Xmx128m", "-XX:+UseSerialGC", "-XX:TieredStopAtLevel=1", "-Xshare:auto");

  /** How long a made job has to stay made: somebody may still reject its last piece. */
  private static final Duration STEADY = Duration.ofSeconds(1);

  private final RoundPlan plan;
  private final Path folder;
  private final SiteFolder site;
  private final Programs programs;
  private final List<FaultProxy> legs = new ArrayList<>();
  private final @Nullable Mosquitto broker;
  private final List<String> deviceArguments;
  private final RoundTally tally = new RoundTally();
  private Process device;
  private Process service;

  /** Starts all of it and drops the job. */
  Round(RoundPlan plan, Path folder) throws IOException {
    this.plan = plan;
    this.folder = folder;
    site = new SiteFolder(folder.resolve("site"));
    programs = new Programs(folder.resolve("logs"));
    List<String> link;
    if (plan.link() == Link.OPCUA) {
      broker = null;
      int port = Programs.freePort();
      legs.add(new FaultProxy(port));
      link = List.of("--port", "" + port);
      site.configure(
          "opcua: { endpoint: \"opc.tcp://127.0.0.1:"
              + legs.get(0).port()
              + "\", timeout: 2 s }"
              + moves(plan));
    } else {
      broker = Mosquitto.open(programs, folder);
      broker.start();
      legs.add(new FaultProxy(broker.port()));
      legs.add(new FaultProxy(broker.port()));
      link = List.of("--broker", "tcp://127.0.0.1:" + legs.get(1).port());
      site.configure(
          "mqtt: { broker: \"tcp://127.0.0.1:"
              + legs.get(0).port()
              + "\", keep-alive: 2 s, timeout: 2 s }"
              + moves(plan));
    }
    deviceArguments = device(link);
    site.stock();
    device = startDevice();
    service = startService();
    List<String> lines = new ArrayList<>(List.of("part,length,qty,material"));
    lines.addAll(plan.parts());
    site.drop(JOB + ".csv", lines.toArray(String[]::new));
  }

  /** In every other pair of rounds, one over each protocol, the stop retracts and parks. */
  private static String moves(RoundPlan plan) {
    return plan.seed() / 2 % 2 == 0
        ? ""
        : "\n    retract: { by: 5 mm, hold: 100 ms }\n    park: { at: 1200 mm, after: 1 s }";
  }

  private Path moves() {
    return folder.resolve("moves.csv");
  }

  private List<String> device(List<String> link) {
    List<String> arguments = new ArrayList<>(List.of("--link", plan.link().word()));
    arguments.addAll(link);
    arguments.addAll(List.of("--station", STATION, "--speed", "" + plan.speed()));
    arguments.addAll(List.of("--seed", "" + plan.seed()));
    arguments.addAll(List.of("--reject-rate", "0." + String.format("%02d", plan.rejectPercent())));
    arguments.addAll(List.of("--truth", site.truth().toString(), "--moves", moves().toString()));
    arguments.addAll(List.of("--memory", site.memory().toString()));
    return arguments;
  }

  private Process startDevice() throws IOException {
    return programs.java("device", QUICK, Programs.deviceJar(), deviceArguments);
  }

  private Process startService() throws IOException {
    return programs.java(
        "service", QUICK, Programs.daemonJar(), List.of("run", "-c", site.config().toString()));
  }

  /** Runs it to its end and returns everything that is not as it should be. */
  List<String> run() throws IOException, InterruptedException {
    for (Blow blow : plan.blows()) {
      awaitCuts(blow.afterCuts());
      TimeUnit.MILLISECONDS.sleep(blow.laterMillis());
      strike(blow);
    }
    awaitEnd();
    int code = Programs.end(service);
    List<String> wrong = new ArrayList<>();
    if (code != 0) {
      wrong.add("the service ended with " + code);
    }
    Programs.kill(device);
    wrong.addAll(compare());
    return wrong;
  }

  /** Waits for the cycles, or for the job's end: rejected pieces make more of them, never fewer. */
  private void awaitCuts(int cuts) {
    await("cut " + cuts)
        .atMost(SiteFolder.PATIENCE)
        .pollDelay(Duration.ZERO)
        .pollInterval(Duration.ofMillis(10))
        .until(() -> lines(site.truth()) >= cuts);
  }

  private void strike(Blow blow) throws IOException, InterruptedException {
    if (blow instanceof Blow.Kill kill) {
      kill(kill);
    } else if (blow instanceof Blow.Trouble trouble) {
      count(trouble.trouble());
      trouble.trouble().befall(leg(trouble.leg()));
    } else if (blow instanceof Blow.Both both) {
      count(both.trouble());
      FaultProxy leg = leg(both.leg());
      Thread trouble =
          new Thread(
              () -> {
                try {
                  both.trouble().befall(leg);
                } catch (InterruptedException e) {
                  Thread.currentThread().interrupt();
                }
              },
              "trouble");
      trouble.start();
      TimeUnit.MILLISECONDS.sleep(both.kill().laterMillis());
      kill(both.kill());
      trouble.join();
    }
  }

  private void count(LinkTrouble trouble) {
    tally.count("link " + trouble.kind(), 1);
  }

  private FaultProxy leg(int number) {
    return legs.get(number % legs.size());
  }

  private void kill(Blow.Kill kill) throws IOException, InterruptedException {
    tally.count("kill " + kill.victim().name().toLowerCase(java.util.Locale.ROOT), 1);
    if (kill.victim() == Victim.DAEMON) {
      Programs.kill(service);
      TimeUnit.MILLISECONDS.sleep(kill.restMillis());
      service = startService();
    } else if (kill.victim() == Victim.DEVICE) {
      Programs.kill(device);
      TimeUnit.MILLISECONDS.sleep(kill.restMillis());
      device = startDevice();
    } else if (broker != null) {
      broker.kill();
      TimeUnit.MILLISECONDS.sleep(kill.restMillis());
      broker.start();
    }
  }

  private void awaitEnd() {
    await("the job is made and every cycle is booked")
        .atMost(SiteFolder.PATIENCE)
        .pollInterval(Duration.ofMillis(100))
        .during(STEADY)
        .until(
            () -> {
              alive(service, "service");
              alive(device, "device");
              return site.made(JOB) == plan.pieces() && site.booked().equals(site.cut());
            });
  }

  private void alive(Process process, String name) throws IOException {
    if (!process.isAlive()) {
      throw new IllegalStateException("the " + name + " ended: " + programs.said(name));
    }
  }

  private List<String> compare() throws IOException {
    List<Recorded> events = events();
    DeviceTruth truth = DeviceTruth.read(site.truth(), moves());
    Agreement agreement = Agreement.of(truth, events);
    List<String> wrong = new ArrayList<>(agreement.differences());
    wrong.addAll(PartsCheck.differences(truth, events));
    wrong.addAll(MotionCheck.breaches(truth, events));
    tally.count("cuts", agreement.cycles());
    agreement.kinds().forEach((kind, times) -> tally.count("booked " + kind.word(), times));
    tally.count("links up", events.stream().filter(e -> e.event() instanceof LinkUp).count());
    tally.count(
        "pieces rejected", events.stream().filter(e -> e.event() instanceof PieceRejected).count());
    tally.count("moves", truth.doings().stream().filter(d -> d.is(DeviceTruth.Doing.MOVE)).count());
    return wrong;
  }

  private List<Recorded> events() {
    List<Recorded> events = new ArrayList<>();
    try (CutLog log = CutLog.open(site.folder.resolve("kerftally.db"), Clock.systemUTC())) {
      log.replay(
          recorded -> {
            if (STATION.equals(recorded.station())) {
              events.add(recorded);
            }
          });
    }
    return events;
  }

  RoundTally tally() {
    return tally;
  }

  /** Returns truth and log side by side, for the text of a failure. */
  String sideBySide() throws InterruptedException, IOException {
    Programs.kill(service);
    Programs.kill(device);
    DeviceTruth truth = DeviceTruth.read(site.truth(), moves());
    StringBuilder text = new StringBuilder();
    text.append("what the device cut | what the log says\n");
    List<Recorded> events = events();
    Agreement.of(truth, events).sideBySide().forEach(line -> text.append(line).append('\n'));
    text.append("what the device did\n");
    truth.doings().forEach(doing -> text.append(doing).append('\n'));
    text.append("what the log says happened\n");
    events.forEach(e -> text.append(e.at()).append(' ').append(e.event()).append('\n'));
    return text.toString();
  }

  private static long lines(Path file) throws IOException {
    if (!Files.exists(file)) {
      return 0;
    }
    try (Stream<String> lines = Files.lines(file)) {
      return lines.count();
    }
  }

  @Override
  public void close() throws InterruptedException {
    programs.close();
    legs.forEach(FaultProxy::close);
  }
}
