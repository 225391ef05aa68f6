package org.kerftally.daemon.codec;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;

/** Writes and reads one type of value as JSON. Null is handled by the record that holds it. */
public interface ValueFormat {

  /** Writes the value, which is never null. */
  void write(Object value, JsonGenerator out) throws IOException;

  /**
   * Reads a value back.
   *
   * @param node what stands there, never JSON null
   * @param path where it stands, for the error's text
   * @throws FormatException when it is anything but what {@code write} writes
   */
  Object read(JsonNode node, String path) throws FormatException;
}
