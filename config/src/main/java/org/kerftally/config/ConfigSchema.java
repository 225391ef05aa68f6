package org.kerftally.config;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;

/** Hands out the JSON Schema (draft 2020-12) of the configuration, for editors that complete it. */
public final class ConfigSchema {

  /** Where the schema lies in the class path. */
  public static final String RESOURCE = "/org/kerftally/config/kerftally.schema.json";

  private ConfigSchema() {}

  /** Returns the schema as JSON text. */
  public static String text() {
    try (InputStream in = ConfigSchema.class.getResourceAsStream(RESOURCE)) {
      if (in == null) {
        throw new IllegalStateException("the schema is not in the class path: " + RESOURCE);
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException("the schema cannot be read: " + RESOURCE, e);
    }
  }
}
