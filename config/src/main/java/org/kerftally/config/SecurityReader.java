package org.kerftally.config;

import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/**
 * Reads what secures a link: where secrets and keys are, whom to believe, as whom to speak. Reads
 * places only; that the files are there and right is for {@code check} and the link.
 */
final class SecurityReader {

  private static final String EXPECTED_ONE = ", expected one of them";

  private final Path base;

  /** Reads places; relative paths start at {@code base}. */
  SecurityReader(Path base) {
    this.base = base;
  }

  /**
   * Reads where a secret is, from {@code NAME-file} or {@code NAME-env}.
   *
   * @return {@code null} when neither is given, or with problems added
   */
  @Nullable SecretPlace secret(Section section, String name, String exampleFile) {
    Path file = section.read(name + "-file", WordKinds.path(exampleFile, base));
    String variable = section.read(name + "-env", WordKinds.ENVIRONMENT_NAME);
    if (section.has(name + "-file") && section.has(name + "-env")) {
      section.wrong(
          name + "-env",
          "found both `" + name + "-file` and `" + name + "-env`" + EXPECTED_ONE,
          "Keep the one in use");
      return null;
    }
    return SecretPlace.of(file, variable);
  }

  /** Reads the {@code tls} of a link over MQTT. */
  MqttTlsConfig tls(Section mqtt, @Nullable String broker) {
    Section tls = mqtt.section("tls", Keys.TLS, "{ ca-file: broker-ca.pem }");
    if (tls == null) {
      return MqttTlsConfig.USUAL;
    }
    if (broker != null && !broker.startsWith("ssl:")) {
      mqtt.wrong(
          "tls",
          "found `tls` beside a broker that is spoken to in clear, expected ssl://HOST:PORT",
          "Write `broker: ssl" + broker.substring("tcp".length()) + "`, or leave `tls` out");
    }
    Path ca = tls.read("ca-file", WordKinds.path("broker-ca.pem", base));
    return new MqttTlsConfig(ca, clientKey(tls));
  }

  /** Reads certificate and key; {@code null} when none is given, or with problems added. */
  private @Nullable ClientKey clientKey(Section section) {
    Path certificate = section.read("certificate-file", WordKinds.path("kerftally.pem", base));
    Path key = section.read("key-file", WordKinds.path("kerftally.key", base));
    SecretPlace password = secret(section, "key-password", "kerftally.key.password");
    if (certificate == null) {
      for (String alone : Keys.TLS) {
        boolean isOfKey = alone.startsWith("key-");
        if (isOfKey && section.has(alone) && !section.has("certificate-file")) {
          section.wrong(
              alone,
              "found `" + alone + "` without `certificate-file`, expected both",
              "Name the certificate that the key belongs to");
        }
      }
      return null;
    }
    if (ClientKey.isStore(certificate) && section.has("key-file")) {
      section.wrong(
          "key-file",
          "found `key-file` beside a PKCS#12 store, which holds the key",
          "Leave `key-file` out, or name a certificate in PEM");
      return null;
    }
    if (!ClientKey.isStore(certificate) && !section.has("key-file")) {
      section.wrong(
          "certificate-file",
          "found no `key-file`, expected one beside a certificate in PEM",
          "Name the key's file, or a PKCS#12 store that ends in .p12");
      return null;
    }
    return new ClientKey(certificate, key, password);
  }

  /** Reads the {@code identity} of a link over OPC UA; {@code null} for none or a wrong one. */
  @Nullable OpcUaIdentity identity(Section opcua, OpcUaSecurity security) {
    String example = "{ user: kerftally, password-file: saw1.password }";
    Section identity = opcua.section("identity", Keys.IDENTITY, example);
    if (identity == null) {
      return null;
    }
    if (security == OpcUaSecurity.NONE) {
      opcua.wrong(
          "identity",
          "found `identity` on a link without security, which would show it to anybody",
          "Write `security: best`, or leave `identity` out");
    }
    String user = identity.read("user", WordKinds.USER);
    SecretPlace password = secret(identity, "password", "saw1.password");
    ClientKey key = clientKey(identity);
    boolean named = identity.has("user");
    if (named && identity.has("certificate-file")) {
      identity.wrong(
          "found both `user` and `certificate-file`" + EXPECTED_ONE, "Keep the one in use");
      return null;
    }
    if (named && password == null) {
      boolean wrongAlready = identity.has("password-file") || identity.has("password-env");
      if (!wrongAlready) {
        identity.wrong(
            "found a `user` without a password",
            "Add where it is. Example: `password-file: saw1.password`");
      }
      return null;
    }
    if (!named && !identity.has("certificate-file")) {
      identity.wrong(
          "found neither `user` nor `certificate-file`" + EXPECTED_ONE,
          "Example: `identity: " + example + "`");
      return null;
    }
    if (user != null && password != null) {
      return new OpcUaIdentity.User(user, password);
    }
    return key == null ? null : new OpcUaIdentity.Certificate(key);
  }

  /** Reads whether a link may speak in clear, and refuses one that does without being allowed. */
  static PlainText plainText(Section link, String addressKey, boolean isExposed, String mend) {
    PlainText plain =
        SiteReader.orElse(link.read("plain-text", WordKinds.PLAIN_TEXT), PlainText.REFUSED);
    if (isExposed && plain == PlainText.REFUSED) {
      link.wrong(
          addressKey,
          "found a link that leaves this machine in clear: whoever shares the network could read"
              + " it and send positions",
          mend + ". Where the network is yours alone, say so: `plain-text: accepted`");
    }
    return plain;
  }
}
