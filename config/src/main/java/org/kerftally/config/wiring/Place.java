package org.kerftally.config.wiring;

import java.util.List;
import org.jspecify.annotations.Nullable;

/** Says where at a device one value is. */
public sealed interface Place {

  /** Returns the place as a person would look for it. */
  String text();

  /**
   * Is a node of an OPC UA server.
   *
   * @param id its NodeId as text, {@code nsu=URI;s=NAME} or {@code ns=2;i=17}
   */
  record Node(String id) implements Place {
    @Override
    public String text() {
      return "node " + id;
    }
  }

  /**
   * Is a way from the Objects folder of an OPC UA server down to a node.
   *
   * @param namespace the URI of the names' namespace, {@code null} for the link's own
   * @param names browse names, from the top down, at least one
   */
  record BrowsePath(@Nullable String namespace, List<String> names) implements Place {

    /** Copies the list. */
    public BrowsePath {
      names = List.copyOf(names);
    }

    @Override
    public String text() {
      return "node Objects/" + String.join("/", names);
    }
  }

  /**
   * Is a topic of an MQTT broker, or a place within its messages.
   *
   * @param topic the full topic
   * @param pointer a JSON Pointer (RFC 6901) into the payload; {@code null} for a payload that is
   *     plain text
   */
  record Topic(String topic, @Nullable String pointer) implements Place {
    @Override
    public String text() {
      return "topic " + topic + (pointer == null ? "" : " at " + pointer);
    }
  }
}
