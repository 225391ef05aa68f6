package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.config.SiteConfig;
import org.kerftally.daemon.cutlog.SiteLock;
import org.kerftally.daemon.site.SiteFolder;
import org.kerftally.shared.device.DeviceFault;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.Action;
import org.kerftally.sim.Answer;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;

final class TrialCommandTest {

  private static final Duration PATIENCE = Duration.ofSeconds(60);

  @TempDir private Path root;
  private SiteFolder site;
  private SimDevice device;
  private OpcUaDeviceServer server;

  @BeforeEach
  void start() throws IOException {
    device = SimDevice.open(SimConfig.standard("saw1").withSpeed(20));
    server = new OpcUaDeviceServer(device, 0);
    site = new SiteFolder(root.resolve("site"));
    site.configure("opcua: { endpoint: \"" + server.address() + "\", timeout: 10 s }");
    await().atMost(PATIENCE).until(() -> device.snapshot().permitsMove());
    assertThat(device.moveAbsolute(Length.ofMm(500), 1)).isInstanceOf(Answer.Accepted.class);
    await().atMost(PATIENCE).until(() -> device.snapshot().targetReached());
  }

  @AfterEach
  void stop() {
    server.close();
    device.close();
  }

  private Conversation trial(Object... more) throws IOException {
    Object[] words = new Object[more.length + 2];
    words[0] = "-c";
    words[1] = site.config();
    System.arraycopy(more, 0, words, 2, more.length);
    return new Conversation(TrialCommand::new, words);
  }

  private void assertNothingSent(Conversation talk) throws Exception {
    assertThat(talk.code()).isEqualTo(1);
    assertThat(talk.err()).startsWith("Nothing was sent.");
    assertThat(device.snapshot().activeSequence()).isEqualTo(1);
  }

  @Test
  void theStopMovesOnceAfterWhatIsShownWasTyped() throws Exception {
    try (Conversation talk = trial("--by", "-3 mm")) {
      String words = talk.awaitQuestion();
      assertThat(talk.out())
          .contains("THE STOP WILL MOVE", "emergency stop", "number 2", "homed          yes");
      assertThat(words).matches("saw1 49[67](\\.\\d+)?");
      assertThat(device.snapshot().activeSequence()).isEqualTo(1);

      talk.type(words);

      assertThat(talk.code()).as(talk.err()).isZero();
      assertThat(talk.err()).isEmpty();
      assertThat(talk.out())
          .containsPattern("answer +taken, \\d+ ms")
          .containsPattern("number echoed +\\d+ ms")
          .containsPattern("in position +\\d+ ms")
          .contains("did what it was told", "3 mm shorter");
    }
    assertThat(device.snapshot().activeSequence()).isEqualTo(2);
    assertThat(device.snapshot().position().minus(Length.ofMm(497)).abs())
        .isLessThanOrEqualTo(Length.ofNm(200_000));
    assertThat(site.folder.resolve("kerftally.db")).doesNotExist();
  }

  @Test
  void anythingElseTypedSendsNothing() throws Exception {
    try (Conversation talk = trial()) {
      talk.awaitQuestion();
      talk.type("yes");

      assertNothingSent(talk);
      assertThat(talk.err()).contains("that is not \"saw1 ");
    }
  }

  @Test
  void anEndOfStandardInputSendsNothing() throws Exception {
    try (Conversation talk = trial()) {
      talk.awaitQuestion();
      talk.hangUp();

      assertNothingSent(talk);
      assertThat(talk.err()).contains("standard input has ended");
    }
  }

  @Test
  void aPermitThatIsMissingIsNamedWithWhatToDo() throws Exception {
    device.act(Action.of(Action.Kind.REMOTE_OFF));
    device.inject(DeviceFault.EMERGENCY_STOP);

    try (Conversation talk = trial()) {
      assertNothingSent(talk);
      assertThat(talk.err())
          .contains("fault 1, Emergency stop: see to its cause")
          .contains("remote is not allowed (RemoteAllowed is off): switch the machine to remote");
      assertThat(talk.out()).doesNotContain("press Enter");
    }
  }

  @Test
  void aPermitThatGoesWhileThePersonTypesHoldsTheTargetBack() throws Exception {
    try (Conversation talk = trial()) {
      String words = talk.awaitQuestion();
      device.act(Action.of(Action.Kind.REMOTE_OFF));
      talk.type(words);

      assertNothingSent(talk);
      assertThat(talk.err()).contains("RemoteAllowed is off");
    }
  }

  @Test
  void aStopThatSomebodyElseMovedMeanwhileHoldsTheTargetBack() throws Exception {
    try (Conversation talk = trial()) {
      String words = talk.awaitQuestion();
      assertThat(device.moveAbsolute(Length.ofMm(520), 5)).isInstanceOf(Answer.Accepted.class);
      await().atMost(PATIENCE).until(() -> device.snapshot().targetReached());
      talk.type(words);

      assertThat(talk.code()).isEqualTo(1);
      assertThat(talk.err()).startsWith("Nothing was sent.").contains("was moved meanwhile");
      assertThat(device.snapshot().activeSequence()).isEqualTo(5);
    }
  }

  @Test
  void aLinkThatIsLostMeanwhileHoldsTheTargetBackEvenWhenItIsBack() throws Exception {
    int port = server.port();
    try (Conversation talk = trial()) {
      String words = talk.awaitQuestion();
      server.close();
      server = new OpcUaDeviceServer(device, port);
      await().atMost(PATIENCE).until(() -> server.sessions() == 1);
      talk.type(words);

      assertNothingSent(talk);
      assertThat(talk.err()).contains("the link was lost meanwhile");
    }
  }

  @Test
  void besideAServiceNothingIsDone() throws Exception {
    try (SiteLock lock = SiteLock.acquire(site.folder)) {
      Shell shell = Shell.run("trial", "-c", site.config());

      assertThat(shell.code()).isEqualTo(ExitCodes.FOLDER_HELD);
      assertThat(shell.err()).contains("Nothing was sent.", "Stop the service first");
    }
    assertThat(device.snapshot().activeSequence()).isEqualTo(1);
  }

  @Test
  void noOptionStandsInForThePerson() {
    assertThat(Shell.run("trial", "-c", site.config(), "--yes").code()).isEqualTo(2);
    assertThat(Shell.run("trial", "-c", site.config(), "--by", "much").code()).isEqualTo(2);
  }

  @Test
  void aStepBeyondTheBoundIsRefused() throws Exception {
    try (Conversation talk = trial("--by", "25 mm")) {
      assertNothingSent(talk);
      assertThat(talk.err()).contains("10 mm at most");
    }
  }

  @Test
  void theServiceWorksOnAfterATrialAndATrialAfterTheService() throws Exception {
    site.stock();
    move();
    makeSupers("first", 505);
    long used = device.snapshot().activeSequence();
    byte[] log = Files.readAllBytes(site.folder.resolve("kerftally.db"));

    move();

    long trial = device.snapshot().activeSequence();
    assertThat(trial).isGreaterThan(used);
    assertThat(Files.readAllBytes(site.folder.resolve("kerftally.db"))).isEqualTo(log);
    makeSupers("second", 413);
    assertThat(site.rows("select kind from cut_log where kind in ('suspect', 'unattributed')"))
        .isEmpty();
    String first = site.rows("select min(seq) from target_log where job = 'second'").get(0);
    assertThat(Long.parseLong(first)).isGreaterThan(trial);
  }

  @Test
  void aJobThatWasCutIntoByATrialGoesOn() throws Exception {
    site.stock();
    site.drop("supers.csv", "part,length,qty,material", "side,505,6,pine-19x146");
    try (Site running = Site.open(config(), Clock.systemUTC())) {
      site.awaitMade("supers", 3);
    }

    move();

    try (Site running = Site.open(config(), Clock.systemUTC())) {
      site.awaitMade("supers", 6);
    }
    assertThat(site.rows("select made from job_counts")).containsExactly("6");
  }

  private SiteConfig config() {
    return ((ConfigResult.Good) ConfigReader.read(site.config())).config();
  }

  private void move() throws Exception {
    await().atMost(PATIENCE).until(() -> device.snapshot().permitsMove());
    try (Conversation talk = trial()) {
      talk.type(talk.awaitQuestion());
      assertThat(talk.code()).as(talk.out() + talk.err()).isZero();
    }
  }

  private void makeSupers(String job, int length) throws Exception {
    try (Site running = Site.open(config(), Clock.systemUTC())) {
      site.drop(job + ".csv", "part,length,qty,material", "side," + length + ",2,pine-19x146");
      site.awaitMade(job, 2);
    }
  }
}
