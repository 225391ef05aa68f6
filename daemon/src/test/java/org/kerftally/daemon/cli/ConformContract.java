package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.site.SiteFolder;
import org.kerftally.shared.device.DeviceFault;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.Action;
import org.kerftally.sim.Answer;
import org.kerftally.sim.Button;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;

/** The simulated device is taken through the device contract, over whichever protocol. */
@Timeout(600)
abstract class ConformContract {

  private static final Duration PATIENCE = Duration.ofMinutes(2);
  private static final String ASKED = "    >> ";

  @TempDir Path temp;
  private SimDevice device;
  private DeviceServer server;
  private SiteFolder site;

  /** Puts a server in front of the device. */
  abstract DeviceServer serve(SimDevice simulated) throws Exception;

  /** Returns the link's line of YAML. */
  abstract String link(DeviceServer serving);

  /** Returns the steps that the protocol cannot express. */
  abstract List<String> beyond();

  private void start(OperatorModel operator) throws Exception {
    site = new SiteFolder(temp.resolve("site"));
    device =
        SimDevice.open(
            SimConfig.standard("saw1")
                .withSpeed(2)
                .withOperator(operator)
                .withTruth(site.truth())
                .withMemory(site.memory()));
    server = serve(device);
    site.configure(link(server));
    await().atMost(PATIENCE).until(() -> device.snapshot().permitsMove());
    assertThat(device.moveAbsolute(Length.ofMm(500), 1)).isInstanceOf(Answer.Accepted.class);
    await().atMost(PATIENCE).until(() -> device.snapshot().targetReached());
  }

  @AfterEach
  void stop() {
    if (server != null) {
      server.close();
    }
    if (device != null) {
      device.close();
    }
  }

  @Test
  void theSimulatedDeviceKeepsTheContractStepByStep() throws Exception {
    start(OperatorModel.ABSENT);
    try (Conversation talk =
        new Conversation(
            ConformCommand::new, "-c", site.config(), "--json", "--wait", 60, "--past-the-end")) {
      talk.type(talk.awaitQuestion());
      int strokes = attend(talk);

      assertThat(talk.code()).as(talk.said()).isZero();
      JsonNode table = new ObjectMapper().readTree(talk.out());
      List<String> open = new ArrayList<>();
      for (JsonNode step : table.get("steps")) {
        if (!step.get("result").asText().equals("pass")) {
          open.add(step.get("id").asText());
        }
      }
      assertThat(open).as(talk.said()).containsExactlyElementsOf(beyond());
      assertThat(table.get("failed").asInt()).isZero();
      assertThat(device.snapshot().cutCount()).isEqualTo(strokes).isEqualTo(5);
      assertThat(site.cut()).hasSize(5);
      assertThat(site.folder.resolve("kerftally.db")).doesNotExist();
    }
  }

  @Test
  void aSimulatorThatCutsByItselfNeedsNobody() throws Exception {
    start(OperatorModel.STANDARD);
    try (Conversation talk =
        new Conversation(ConformCommand::new, "-c", site.config(), "--unattended", "--wait", 15)) {
      talk.type(talk.awaitQuestion());

      assertThat(talk.code()).as(talk.said()).isZero();
      assertThat(talk.out())
          .containsPattern("(?m)^pass +count +a stroke")
          .containsPattern("(?m)^pass +last-cut ")
          .containsPattern("(?m)^pass +more-strokes ")
          .containsPattern("(?m)^pass +acknowledge ")
          .containsPattern("(?m)^not tested +reboot ")
          .contains("reboot: that a power-up moves nothing and is noticed")
          .contains(" 0 failed, ");
    }
  }

  @Test
  void nothingIsSentUnlessTheQuestionIsAnswered() throws Exception {
    start(OperatorModel.ABSENT);
    try (Conversation talk =
        new Conversation(ConformCommand::new, "-c", site.config(), "--unattended")) {
      talk.awaitQuestion();
      talk.type("yes");

      assertThat(talk.code()).isEqualTo(1);
      assertThat(talk.err()).contains("Nothing was sent.");
      assertThat(device.snapshot().activeSequence()).isEqualTo(1);
    }
  }

  /** Does what is asked for until it is over; returns how many strokes were made. */
  private int attend(Conversation talk) {
    List<String> done = new ArrayList<>();
    AtomicInteger strokes = new AtomicInteger();
    await()
        .atMost(Duration.ofMinutes(8))
        .pollInterval(Duration.ofMillis(50))
        .until(
            () -> {
              List<String> asked =
                  talk.said().lines().filter(line -> line.startsWith(ASKED)).toList();
              for (String line : asked.subList(done.size(), asked.size())) {
                done.add(line);
                strokes.addAndGet(act(line.substring(ASKED.length())) ? 1 : 0);
              }
              return talk.isOver();
            });
    return strokes.get();
  }

  private boolean act(String asked) {
    if (asked.startsWith("Make one stroke") || asked.startsWith("Bring the saw")) {
      await().atMost(PATIENCE).until(device::stroke);
      return true;
    }
    if (asked.startsWith("Press acknowledge")) {
      device.press(Button.ACKNOWLEDGE);
    } else if (asked.startsWith("Press stick loaded")) {
      device.press(Button.STICK_LOADED, Length.ofMm(2_440));
    } else if (asked.startsWith("Switch remote off")) {
      device.act(Action.of(Action.Kind.REMOTE_OFF));
    } else if (asked.startsWith("Switch remote on")) {
      device.act(Action.of(Action.Kind.REMOTE_ON));
    } else if (asked.startsWith("Press the emergency")) {
      device.inject(DeviceFault.EMERGENCY_STOP);
    } else if (asked.startsWith("Release the emergency")) {
      device.act(Action.of(Action.Kind.ESTOP_RELEASE));
    } else if (asked.startsWith("Power the device")) {
      device.powerCycle();
    }
    return false;
  }
}
