package org.kerftally.protocol.mqtt;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Stands for a broker: keeps what a link asked of its sessions, and answers nothing by itself. */
final class FakeBroker implements BrokerSession.Factory {

  /** One message a session was asked to publish. */
  record Published(String topic, String payload, long expirySeconds, long ticket) {}

  final List<Session> sessions = new ArrayList<>();
  boolean full;

  @Override
  public @Nullable BrokerSession open(int generation) {
    if (full) {
      return null;
    }
    Session session = new Session();
    sessions.add(session);
    return session;
  }

  Session last() {
    return sessions.get(sessions.size() - 1);
  }

  static final class Session implements BrokerSession {
    final List<Published> published = new ArrayList<>();
    final List<String> subscribed = new ArrayList<>();
    boolean connecting;
    boolean abandoned;
    boolean left;

    @Override
    public void connect() {
      connecting = true;
    }

    @Override
    public void subscribe(List<String> topics) {
      subscribed.addAll(topics);
    }

    @Override
    public void publish(String topic, byte[] payload, long expirySeconds, long ticket) {
      String text = new String(payload, StandardCharsets.UTF_8);
      published.add(new Published(topic, text, expirySeconds, ticket));
    }

    @Override
    public void abandon() {
      abandoned = true;
    }

    @Override
    public void leave() {
      left = true;
    }
  }
}
