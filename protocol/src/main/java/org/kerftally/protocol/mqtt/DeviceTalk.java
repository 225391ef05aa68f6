package org.kerftally.protocol.mqtt;

import java.util.List;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.LinkEvent;

/**
 * Understands what one device publishes: one that keeps the device contract, or one that is wired
 * to it by a signal map. Not thread-safe: part of a {@link LinkMachine}.
 */
interface DeviceTalk {

  /** Says what came out of a message. */
  sealed interface Heard {

    /** Every signal, as of this message. */
    record Status(DeviceSnapshot snapshot, boolean retained) implements Heard {}

    /** Whether the device is there. */
    record Online(boolean online, boolean retained) implements Heard {}

    /** A saw cycle. */
    record Cut(LastCut cut) implements Heard {}

    /** The answer to a target. */
    record Reply(LinkEvent.Replied reply) implements Heard {}
  }

  /** Returns the topics to subscribe to. */
  List<String> topics();

  /** Forgets what was heard: a subscription begins, or the device left. */
  void forget();

  /**
   * Reads a message.
   *
   * @throws MalformedMessageException naming the field that is wrong
   */
  List<Heard> hear(String topic, byte[] payload, boolean retained) throws MalformedMessageException;

  /** Tells whether an unreadable message on this topic leaves nothing to steer by. */
  boolean decides(String topic);

  /** Tells whether a topic is the one that says the device is there. */
  boolean saysOnline(String topic);

  /** Returns where the device says that it is there, in words for people. */
  String onlinePlace();

  /** Returns where the device says everything, in words for people. */
  String statusPlace();
}
