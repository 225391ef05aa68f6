package org.kerftally.sim.cli;

import java.nio.file.Path;
import java.time.Duration;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.ClientKey;
import org.kerftally.config.MqttTlsConfig;
import org.kerftally.config.SecretPlace;
import org.kerftally.sim.mqtt.BrokerAccess;
import org.kerftally.sim.opcua.ServerSecurity;
import picocli.CommandLine.Option;

/** Says how the device's link is secured. Passwords are named by their files alone. */
final class SecurityOptions {

  private static final Duration USUAL_CHANNEL = Duration.ofHours(1);

  @Option(
      names = "--secure",
      paramLabel = "DIR",
      description = {
        "With opcua: sign and encrypt; the device's own certificate is made in DIR/own,",
        "users' certificates are read from DIR/users."
      })
  private @Nullable Path secure;

  @Option(
      names = "--trusted-only",
      description = "With --secure: let in only clients whose certificates are in DIR/trusted.")
  private boolean trustedOnly;

  @Option(
      names = "--user",
      paramLabel = "NAME",
      description = "With --secure: the one user let in; with mqtt: the user at the broker.")
  private @Nullable String user;

  @Option(
      names = "--password-file",
      paramLabel = "FILE",
      description = "The file whose first line is the user's password.")
  private @Nullable Path passwordFile;

  @Option(
      names = "--ca-file",
      paramLabel = "FILE",
      description = "With an ssl:// broker: the authorities its certificate comes from, in PEM.")
  private @Nullable Path caFile;

  @Option(
      names = "--certificate-file",
      paramLabel = "FILE",
      description = "With an ssl:// broker: what it is shown, in PEM.")
  private @Nullable Path certificateFile;

  @Option(
      names = "--key-file",
      paramLabel = "FILE",
      description = "With --certificate-file: its key in PEM.")
  private @Nullable Path keyFile;

  /** Returns what is wrong with the options for this protocol, or {@code null}. */
  @Nullable String fault(LinkKind link) {
    if ((user == null) != (passwordFile == null)) {
      return "--user and --password-file go together";
    }
    if ((certificateFile == null) != (keyFile == null)) {
      return "--certificate-file and --key-file go together";
    }
    if (link == LinkKind.MQTT) {
      return secure != null || trustedOnly ? "--secure goes with --link opcua" : null;
    }
    if (caFile != null || certificateFile != null) {
      return "--ca-file and --certificate-file go with --link mqtt";
    }
    return secure == null && (user != null || trustedOnly)
        ? "with --link opcua, --user and --trusted-only need --secure"
        : null;
  }

  /** Returns the security of an OPC UA server, or {@code null} for none. */
  @Nullable ServerSecurity server() {
    return secure == null
        ? null
        : new ServerSecurity(secure, !trustedOnly, user, password(), USUAL_CHANNEL);
  }

  /** Returns the way to a broker. */
  BrokerAccess broker(String url) {
    ClientKey key = certificateFile == null ? null : new ClientKey(certificateFile, keyFile, null);
    return new BrokerAccess(url, new MqttTlsConfig(caFile, key), user, password());
  }

  private @Nullable SecretPlace password() {
    return SecretPlace.of(passwordFile, null);
  }
}
