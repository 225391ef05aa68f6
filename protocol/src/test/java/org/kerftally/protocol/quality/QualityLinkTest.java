package org.kerftally.protocol.quality;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Clock;
import java.time.ZoneOffset;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Objects;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.kerftally.config.QualityConfig;
import org.kerftally.config.QualityConfig.From;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/** Steps the link by hand: its lane does what is in it when told. */
final class QualityLinkTest {

  private static final Length AT = Length.ofMm(500);
  private static final Prompt CUT = new Prompt(Prompt.Kind.CUT, "Cut side", "pine", null, null);

  private final Inner inner = new Inner();
  private final HandLane lane = new HandLane();
  private final FakeDevice device = new FakeDevice();
  private final List<LinkEvent> heard = new ArrayList<>();
  private long nanos;
  private final QualityLink link =
      new QualityLink(
          inner,
          QualityStations.station(QualityStations.asking(100, 0, From.ABOVE)),
          Clock.fixed(CoreRig.START, ZoneOffset.UTC),
          () -> nanos,
          lane);

  private static final class Inner implements PositionerLink {
    @Nullable Consumer<LinkEvent> sink;
    final List<Long> sent = new ArrayList<>();
    final List<Prompt> shown = new ArrayList<>();
    boolean live = true;
    boolean isClosed;

    @Override
    public void start(Consumer<LinkEvent> receiver) {
      sink = receiver;
    }

    @Override
    public boolean send(Target target) {
      if (live) {
        sent.add(target.seq());
      }
      return live;
    }

    @Override
    public void show(Prompt prompt) {
      shown.add(prompt);
    }

    @Override
    public void close() {
      isClosed = true;
    }

    void say(LinkEvent event) {
      Objects.requireNonNull(sink).accept(event);
    }
  }

  private static final class HandLane implements Lane {
    final Deque<Runnable> now = new ArrayDeque<>();
    final List<Long> delays = new ArrayList<>();
    final List<Runnable> later = new ArrayList<>();

    @Override
    public void run(Runnable work) {
      now.add(work);
    }

    @Override
    public void after(long nanos, Runnable work) {
      delays.add(nanos);
      later.add(work);
    }

    @Override
    public void close() {}

    void go() {
      while (!now.isEmpty()) {
        now.remove().run();
      }
    }
  }

  private void up() {
    link.start(heard::add);
    inner.say(new LinkEvent.Up(device.now()));
    lane.go();
  }

  private void look() {
    inner.say(new LinkEvent.Snapshot(device.now()));
    lane.go();
  }

  private void moveTo(long seq) {
    assertThat(link.send(CoreRig.target(seq, AT, CoreRig.START))).isTrue();
    inner.say(new LinkEvent.Replied(2 * seq - 1, true, null));
    device.take(2 * seq - 1);
    look();
    device.reach(Length.ofMm(502));
    look();
    inner.say(new LinkEvent.Replied(2 * seq, true, null));
    device.take(2 * seq).reach(AT);
    look();
  }

  private void tickAfter(long millis) {
    nanos += millis * 1_000_000;
    List<Runnable> due = List.copyOf(lane.later);
    lane.later.clear();
    due.forEach(Runnable::run);
    lane.go();
  }

  @Test
  void aStationThatAsksForNothingHasItsLinkAsItIs() {
    assertThat(
            QualityLink.around(
                inner, QualityStations.station(QualityConfig.NONE), Clock.systemUTC()))
        .isSameAs(inner);
  }

  @Test
  void timeAloneBringsTheStopIntoPositionAndOneTickIsAskedFor() {
    up();
    moveTo(1);
    assertThat(lane.delays).containsExactly(100_000_000L);
    look();
    assertThat(lane.delays).hasSize(1);
    int before = heard.size();
    tickAfter(100);
    assertThat(heard).hasSize(before + 1);
    assertThat(heard.get(before)).isInstanceOf(LinkEvent.Snapshot.class);
    assertThat(((LinkEvent.Snapshot) heard.get(before)).snapshot().targetReached()).isTrue();
  }

  @Test
  void aTickThatCameTooEarlyAsksForAnother() {
    up();
    moveTo(1);
    device.position = Length.ofMm(499);
    look();
    nanos += 40_000_000;
    device.position = AT;
    look();
    int before = heard.size();
    tickAfter(60);
    assertThat(heard).hasSize(before);
    assertThat(lane.delays).last().isEqualTo(40_000_000L);
    tickAfter(40);
    assertThat(heard).hasSize(before + 1);
  }

  @Test
  void thePanelAsksForTheCutOnlyWhileTheStopStandsAtItsTarget() {
    up();
    link.show(new Prompt(Prompt.Kind.LOAD_STICK, "Load", "pine", null, null));
    lane.go();
    link.show(CUT);
    moveTo(1);
    assertThat(inner.shown).last().isEqualTo(Prompt.NONE);
    tickAfter(100);
    assertThat(inner.shown).last().isEqualTo(CUT);
    int shown = inner.shown.size();

    assertThat(link.send(CoreRig.target(2, Length.ofMm(700), CoreRig.START))).isTrue();
    lane.go();
    assertThat(inner.shown.subList(shown, inner.shown.size())).containsExactly(Prompt.NONE);
  }

  @Test
  void aRefusalOfItsOwnIsToldAndNothingIsSent() {
    up();
    assertThat(link.send(CoreRig.target(1, Length.ofMm(4_000), CoreRig.START))).isTrue();
    lane.go();
    assertThat(inner.sent).isEmpty();
    assertThat(heard).last().isInstanceOf(LinkEvent.Replied.class);
    LinkEvent.Replied reply = (LinkEvent.Replied) heard.get(heard.size() - 1);
    assertThat(reply.accepted()).isFalse();
    assertThat(reply.reason()).contains("travel");
  }

  @Test
  void anExpiredTargetIsNotTakenEvenToRefuseIt() {
    up();
    Target expired = CoreRig.target(1, Length.ofMm(4_000), CoreRig.START.minusSeconds(4));
    assertThat(link.send(expired)).isFalse();
    lane.go();
    assertThat(heard).hasSize(1);
  }

  @Test
  void aSecondLegThatTheLinkDoesNotTakeIsNotSentLater() {
    up();
    assertThat(link.send(CoreRig.target(1, AT, CoreRig.START))).isTrue();
    inner.say(new LinkEvent.Replied(1, true, null));
    device.take(1);
    look();
    inner.live = false;
    device.reach(Length.ofMm(502));
    look();
    inner.live = true;
    look();
    tickAfter(1_000);
    look();
    assertThat(inner.sent).containsExactly(1L);
  }

  @Test
  void afterClosingNothingIsHeardOrSent() {
    up();
    inner.say(new LinkEvent.Snapshot(device.now()));
    link.close();
    lane.go();
    assertThat(inner.isClosed).isTrue();
    assertThat(heard).hasSize(1);
    assertThat(link.send(CoreRig.target(1, AT, CoreRig.START))).isFalse();
  }
}
