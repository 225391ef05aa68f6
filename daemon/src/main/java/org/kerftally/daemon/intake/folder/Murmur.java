package org.kerftally.daemon.intake.folder;

import java.util.HashMap;
import java.util.Map;
import java.util.concurrent.TimeUnit;

/**
 * Keeps a lasting trouble from filling the log: it is spoken of once, then every ten minutes, and
 * at once when it is a different one. For one thread.
 */
final class Murmur {

  private static final long REPEAT_NANOS = TimeUnit.MINUTES.toNanos(10);
  private static final int MAX_TOPICS = 1_000;

  private final Map<String, Said> said = new HashMap<>();

  /** Tells whether to speak of a topic's trouble now, and takes it as spoken of. */
  boolean speaks(String topic, String trouble, long nowNanos) {
    Said before = said.get(topic);
    if (before != null
        && before.trouble().equals(trouble)
        && nowNanos - before.atNanos() < REPEAT_NANOS) {
      return false;
    }
    if (said.size() >= MAX_TOPICS) {
      said.clear();
    }
    said.put(topic, new Said(trouble, nowNanos));
    return true;
  }

  /** Forgets a topic, and tells whether it was spoken of. */
  boolean isOver(String topic) {
    return said.remove(topic) != null;
  }

  private record Said(String trouble, long atNanos) {}
}
