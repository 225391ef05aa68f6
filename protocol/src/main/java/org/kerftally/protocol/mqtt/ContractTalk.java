package org.kerftally.protocol.mqtt;

import java.util.List;

/** Understands a device that keeps the device contract. */
final class ContractTalk implements DeviceTalk {

  private final MqttTopics topics;

  ContractTalk(MqttTopics topics) {
    this.topics = topics;
  }

  @Override
  public List<String> topics() {
    return topics.subscribed();
  }

  @Override
  public void forget() {
    // Each message stands for itself.
  }

  @Override
  public List<Heard> hear(String topic, byte[] payload, boolean retained)
      throws MalformedMessageException {
    if (topic.equals(topics.status())) {
      return List.of(new Heard.Status(DeviceMessages.status(payload), retained));
    } else if (topic.equals(topics.online())) {
      return List.of(new Heard.Online(DeviceMessages.online(payload), retained));
    } else if (topic.equals(topics.cut())) {
      return List.of(new Heard.Cut(DeviceMessages.cut(payload)));
    } else if (topic.equals(topics.reply())) {
      return List.of(new Heard.Reply(DeviceMessages.reply(payload)));
    }
    return List.of();
  }

  @Override
  public boolean decides(String topic) {
    return topic.equals(topics.status()) || topic.equals(topics.online());
  }

  @Override
  public boolean saysOnline(String topic) {
    return topic.equals(topics.online());
  }

  @Override
  public String onlinePlace() {
    return topics.online();
  }

  @Override
  public String statusPlace() {
    return topics.status();
  }
}
