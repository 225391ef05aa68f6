package org.kerftally.daemon.service;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.event.StationEvent.FaultRaised;
import org.kerftally.shared.event.StationEvent.JobEnded;
import org.kerftally.shared.event.StationEvent.JobStarted;
import org.kerftally.shared.event.StationEvent.TargetAccepted;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.Shortage;

final class StationNewsTest {

  @Test
  void theCourseOfAJobIsNewsAndASingleTargetIsNot() {
    Shortage two = new Shortage("super side", "pine-19x146", Length.ofMm(505), 2);
    Shortage three = new Shortage("super end", "pine-19x146", Length.ofMm(413), 3);

    assertThat(StationNews.of(new JobStarted("supers"))).contains("job supers begins");
    assertThat(StationNews.of(new JobEnded("supers", List.of())))
        .contains("job supers is complete");
    assertThat(StationNews.of(new JobEnded("supers", List.of(two, three))))
        .contains("job supers ends, pieces short: 5");
    assertThat(StationNews.of(new TargetAccepted(17))).isEmpty();
  }

  @Test
  void aFaultIsNewsInTheDevicesWords() {
    assertThat(StationNews.of(new FaultRaised("1", "Emergency stop")))
        .contains("fault 1: Emergency stop");
  }

  @Test
  void aStationThatComesToWaitSaysForWhat() {
    Prompt prompt = new Prompt(Prompt.Kind.ACKNOWLEDGE, "Press acknowledge", null, null, null);

    assertThat(StationNews.of(StationMode.HELD, prompt)).contains("waits: Press acknowledge");
    assertThat(StationNews.of(StationMode.EXECUTE, prompt)).isEmpty();
    assertThat(StationNews.of(StationMode.SUSPENDED, Prompt.NONE)).isEmpty();
    Prompt moving = new Prompt(Prompt.Kind.NONE, "The stop retracts", null, null, null);
    assertThat(StationNews.of(StationMode.SUSPENDED, moving)).isEmpty();
    Prompt cut = new Prompt(Prompt.Kind.CUT, "Cut super side, 505 mm", "pine", null, null);
    assertThat(StationNews.of(StationMode.SUSPENDED, cut)).isEmpty();
    Prompt load = new Prompt(Prompt.Kind.LOAD_STICK, "Load a stick", "pine", null, null);
    assertThat(StationNews.of(StationMode.SUSPENDED, load)).contains("waits: Load a stick");
  }
}
