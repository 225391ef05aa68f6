package org.kerftally.config;

import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/**
 * States whom a link over TLS believes, and what it shows of itself.
 *
 * @param caFile the certificates in PEM that a broker's has to come from, or {@code null} for those
 *     that the Java runtime believes
 * @param clientKey what the link shows to the broker, or {@code null} for nothing
 */
public record MqttTlsConfig(@Nullable Path caFile, @Nullable ClientKey clientKey) {

  /** Nothing said: the Java runtime's authorities, no certificate of our own. */
  public static final MqttTlsConfig USUAL = new MqttTlsConfig(null, null);
}
