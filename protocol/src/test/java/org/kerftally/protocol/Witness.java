package org.kerftally.protocol;

import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Consumer;
import java.util.stream.Stream;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LinkEvent;

/** Keeps every event a link passed on, in order. */
public final class Witness implements Consumer<LinkEvent> {

  private final List<LinkEvent> events = new CopyOnWriteArrayList<>();

  @Override
  public void accept(LinkEvent event) {
    events.add(event);
  }

  /** Returns every event so far. */
  public List<LinkEvent> events() {
    return List.copyOf(events);
  }

  /** Returns every event of one kind. */
  public <T extends LinkEvent> List<T> all(Class<T> type) {
    return events.stream().filter(type::isInstance).map(type::cast).toList();
  }

  /** Counts how often the link came up. */
  public long ups() {
    return all(LinkEvent.Up.class).size();
  }

  /** Counts how often the link went down. */
  public long downs() {
    return all(LinkEvent.Down.class).size();
  }

  /** Tells whether the link says it is up. */
  public boolean isUp() {
    List<LinkEvent> turns =
        events.stream()
            .filter(event -> event instanceof LinkEvent.Up || event instanceof LinkEvent.Down)
            .toList();
    return !turns.isEmpty() && turns.get(turns.size() - 1) instanceof LinkEvent.Up;
  }

  /** Returns every snapshot, those that came with an Up among them. */
  public List<DeviceSnapshot> snapshots() {
    return events.stream().flatMap(Witness::snapshotOf).toList();
  }

  private static Stream<DeviceSnapshot> snapshotOf(LinkEvent event) {
    if (event instanceof LinkEvent.Up up) {
      return Stream.of(up.snapshot());
    }
    return event instanceof LinkEvent.Snapshot changed
        ? Stream.of(changed.snapshot())
        : Stream.empty();
  }

  /** Returns the newest snapshot; there must be one. */
  public DeviceSnapshot latest() {
    List<DeviceSnapshot> all = snapshots();
    return all.get(all.size() - 1);
  }

  /** Returns the device's answers to one target. */
  public List<LinkEvent.Replied> repliesTo(long seq) {
    return all(LinkEvent.Replied.class).stream().filter(reply -> reply.seq() == seq).toList();
  }
}
