package org.kerftally.protocol.mqtt;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.SecretPlace;

/**
 * Reads the password of a link when it connects, so that a changed one is taken up without a
 * restart. Holds where it is, never the password itself.
 */
final class BrokerLogin {

  private final @Nullable String user;
  private final @Nullable SecretPlace place;

  BrokerLogin(MqttLinkConfig config) {
    this.user = config.user();
    this.place = config.password();
  }

  @Nullable String user() {
    return user;
  }

  /**
   * Returns the password, or {@code null} where none is configured.
   *
   * @throws IOException with a text that names the place and not the secret
   */
  byte @Nullable [] password() throws IOException {
    return place == null ? null : place.read().getBytes(StandardCharsets.UTF_8);
  }

  /** Says what to check when the broker lets nobody in with this. */
  String mend() {
    if (user == null && place == null) {
      return "; the broker wants a user: write `user` and `password-file`";
    }
    return "; check the user " + user + (place == null ? "" : " and the password in the " + place);
  }
}
