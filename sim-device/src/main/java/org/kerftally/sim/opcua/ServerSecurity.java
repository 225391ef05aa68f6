package org.kerftally.sim.opcua;

import java.nio.file.Path;
import java.time.Duration;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.SecretPlace;

/**
 * States how the device's server is secured: every message signed and encrypted, by any policy from
 * Basic256Sha256 on.
 *
 * @param folder the device's own folder of certificates: {@code own/} made on first use, {@code
 *     trusted/} those that clients may show, {@code users/} those that users may show
 * @param anyClient whether a client may show any certificate, as many controllers let it in
 * @param user the one user's name, or {@code null} when the device takes anybody
 * @param password where that user's password is, or {@code null} without a user
 * @param longestChannel how long keys may be used before new ones are agreed on
 */
public record ServerSecurity(
    Path folder,
    boolean anyClient,
    @Nullable String user,
    @Nullable SecretPlace password,
    Duration longestChannel) {

  private static final Duration USUAL_CHANNEL = Duration.ofHours(1);

  /** Refuses a user without a password. */
  public ServerSecurity {
    if ((user == null) != (password == null)) {
      throw new IllegalArgumentException("a user and a password go together");
    }
  }

  /** Returns security that lets in any client, and anybody behind it. */
  public static ServerSecurity in(Path folder) {
    return new ServerSecurity(folder, true, null, null, USUAL_CHANNEL);
  }

  /** Returns the same with one user alone let in. */
  public ServerSecurity withUser(String name, SecretPlace place) {
    return new ServerSecurity(folder, anyClient, name, place, longestChannel);
  }

  /** Returns the same with only those clients let in whose certificates are in {@code trusted/}. */
  public ServerSecurity withTrustedClientsOnly() {
    return new ServerSecurity(folder, false, user, password, longestChannel);
  }

  /** Returns the same with keys that last no longer than this. */
  public ServerSecurity withLongestChannel(Duration longest) {
    return new ServerSecurity(folder, anyClient, user, password, longest);
  }
}
