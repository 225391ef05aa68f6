package org.kerftally.protocol.opcua;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.security.Security;
import java.security.cert.CertificateException;
import java.security.cert.X509Certificate;
import java.time.Duration;
import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.bouncycastle.jce.provider.BouncyCastleProvider;
import org.eclipse.milo.opcua.sdk.client.OpcUaClientConfigBuilder;
import org.eclipse.milo.opcua.sdk.client.identity.UsernameProvider;
import org.eclipse.milo.opcua.sdk.client.identity.X509IdentityProvider;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.security.CertificateValidator;
import org.eclipse.milo.opcua.stack.core.security.SecurityPolicy;
import org.eclipse.milo.opcua.stack.core.types.builtin.ByteString;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.enumerated.MessageSecurityMode;
import org.eclipse.milo.opcua.stack.core.types.enumerated.UserTokenType;
import org.eclipse.milo.opcua.stack.core.types.structured.EndpointDescription;
import org.eclipse.milo.opcua.stack.core.types.structured.UserTokenPolicy;
import org.eclipse.milo.opcua.stack.core.util.CertificateUtil;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.OpcUaIdentity;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.OpcUaSecurity;
import org.kerftally.config.tls.Fingerprint;
import org.kerftally.config.tls.KeyAndChain;
import org.kerftally.config.tls.KeyFiles;
import org.kerftally.protocol.certificates.CertificateFolder;

/**
 * Secures a link: which offers of a server will do, whether its certificate is trusted, what it is
 * shown, and what a refusal means. Everything about security is decided here.
 *
 * <p>What a server says of its offers is not secured yet when it is read. So nobody in between can
 * do more than take offers away: none without encryption is ever taken, and the certificate of the
 * one that is chosen has to be trusted before a connection is made. A certificate that nobody has
 * decided about is put down for a person, and the link stays down.
 *
 * <p>Certificates, keys and passwords are read anew for each connection. Threading: as the link.
 */
final class LinkSecurity {

  /** How long keys are used before new ones are agreed on, unless the server wants it shorter. */
  static final Duration CHANNEL_LIFETIME = Duration.ofHours(1);

  private static final List<OpcUaSecurity> BEST_FIRST =
      List.of(
          OpcUaSecurity.AES256_SHA256_RSAPSS,
          OpcUaSecurity.AES128_SHA256_RSAOAEP,
          OpcUaSecurity.BASIC256SHA256);

  static {
    // Aes256_Sha256_RsaPss asks for a signature by a name that this provider alone knows. Added
    // last, it changes nothing for what others provide.
    if (Security.getProvider(BouncyCastleProvider.PROVIDER_NAME) == null) {
      Security.addProvider(new BouncyCastleProvider());
    }
  }

  private final OpcUaLinkConfig config;
  private final CertificateFolder folder;
  private final Duration channelLifetime;

  LinkSecurity(OpcUaLinkConfig config, CertificateFolder folder, Duration channelLifetime) {
    this.config = config;
    this.folder = folder;
    this.channelLifetime = channelLifetime;
  }

  Duration channelLifetime() {
    return channelLifetime;
  }

  /** Returns the offers that will do, the best first. */
  List<EndpointDescription> fitting(List<EndpointDescription> offered) {
    return offered.stream()
        .filter(offer -> rank(offer) >= 0 && takesIdentity(offer))
        .sorted(Comparator.comparingInt(this::rank))
        .toList();
  }

  /** Says what would do, for the text of an error. */
  String wanted() {
    String policy =
        switch (config.security()) {
          case NONE -> "without security";
          case BEST -> "that signs and encrypts with Basic256Sha256 or newer";
          default -> "that signs and encrypts with " + config.security().word();
        };
    return policy
        + switch (tokenType()) {
          case UserName -> " and takes a user name";
          case Certificate -> " and takes a user's certificate";
          default -> " and takes an anonymous user";
        };
  }

  private int rank(EndpointDescription offer) {
    Optional<SecurityPolicy> policy = SecurityPolicy.fromUriSafe(offer.getSecurityPolicyUri());
    if (config.security() == OpcUaSecurity.NONE) {
      boolean open =
          policy.equals(Optional.of(SecurityPolicy.None))
              && offer.getSecurityMode() == MessageSecurityMode.None;
      return open ? 0 : -1;
    }
    if (policy.isEmpty() || offer.getSecurityMode() != MessageSecurityMode.SignAndEncrypt) {
      return -1;
    }
    List<OpcUaSecurity> allowed =
        config.security() == OpcUaSecurity.BEST ? BEST_FIRST : List.of(config.security());
    Optional<String> name = Optional.of(policy.get().name());
    for (int i = 0; i < allowed.size(); i++) {
      if (allowed.get(i).policy().equals(name)) {
        return i;
      }
    }
    return -1;
  }

  private boolean takesIdentity(EndpointDescription offer) {
    UserTokenPolicy[] tokens = offer.getUserIdentityTokens();
    return tokens != null
        && Arrays.stream(tokens).anyMatch(token -> token.getTokenType() == tokenType());
  }

  private UserTokenType tokenType() {
    if (config.identity() == null) {
      return UserTokenType.Anonymous;
    }
    return config.identity() instanceof OpcUaIdentity.User
        ? UserTokenType.UserName
        : UserTokenType.Certificate;
  }

  /**
   * Checks the certificate of a server before a connection is made.
   *
   * @throws LinkFault when it is not trusted, with what to do about it
   */
  void checkServer(EndpointDescription endpoint) throws LinkFault {
    if (!config.isSecured()) {
      return;
    }
    ByteString bytes = endpoint.getServerCertificate();
    if (bytes == null || bytes.isNullOrEmpty()) {
      throw new LinkFault(config.endpoint() + " shows no certificate");
    }
    try {
      check(CertificateUtil.decodeCertificates(bytes.bytesOrEmpty()));
    } catch (UaException | RuntimeException e) {
      throw new LinkFault(config.endpoint() + " shows a certificate that cannot be read", e);
    } catch (IOException e) {
      throw new LinkFault(String.valueOf(e.getMessage()), e);
    }
  }

  private void check(List<X509Certificate> chain) throws LinkFault, IOException {
    if (chain.isEmpty()) {
      throw new LinkFault(config.endpoint() + " shows no certificate");
    }
    X509Certificate shown = chain.get(0);
    String fingerprint = Fingerprint.of(shown);
    try {
      shown.checkValidity();
    } catch (CertificateException e) {
      throw new LinkFault(
          "the certificate of "
              + config.endpoint()
              + " holds from "
              + day(shown.getNotBefore())
              + " to "
              + day(shown.getNotAfter())
              + "; have the device make a new one, or set the clocks",
          e);
    }
    if (folder.isTrusted(shown)) {
      return;
    }
    String then =
        folder.keepWaiting(shown)
            ? "compare it with the device's, then: kerftally certificates accept "
                + fingerprint
                + " -c FILE"
            : "too many wait already in pki/waiting: clear that folder first";
    throw new LinkFault(
        "the certificate of "
            + config.endpoint()
            + " is not trusted yet, SHA-256 "
            + fingerprint
            + "; "
            + then);
  }

  private static String day(java.util.Date date) {
    return date.toInstant().atZone(ZoneOffset.UTC).toLocalDate().toString();
  }

  /**
   * Puts certificate, key and identity into a client's configuration.
   *
   * @throws LinkFault when one of them cannot be read
   */
  void secure(OpcUaClientConfigBuilder client) throws LinkFault {
    client.setApplicationUri("urn:kerftally:daemon");
    if (!config.isSecured()) {
      return;
    }
    try {
      KeyAndChain own = folder.own();
      X509Certificate certificate = own.chain().get(0);
      client
          .setKeyPair(new java.security.KeyPair(certificate.getPublicKey(), own.key()))
          .setCertificate(certificate)
          .setCertificateChain(own.chain().toArray(X509Certificate[]::new))
          .setCertificateValidator(validator());
      CertificateUtil.getSanUri(certificate).ifPresent(client::setApplicationUri);
      identify(client, config.identity());
    } catch (IOException e) {
      throw new LinkFault(String.valueOf(e.getMessage()), e);
    }
  }

  private void identify(OpcUaClientConfigBuilder client, @Nullable OpcUaIdentity identity)
      throws IOException {
    if (identity instanceof OpcUaIdentity.User user) {
      byte[] password = user.password().read().getBytes(StandardCharsets.UTF_8);
      // What is encrypted for the server is encrypted for the certificate that was checked.
      client.setIdentityProvider(new UsernameProvider(user.user(), () -> password, validator()));
    } else if (identity instanceof OpcUaIdentity.Certificate certificate) {
      KeyAndChain key = KeyFiles.load(certificate.key());
      client.setIdentityProvider(new X509IdentityProvider(key.chain().get(0), key.key()));
    }
  }

  /** The library asks again, with what the server shows once the connection stands. */
  private CertificateValidator validator() {
    return (chain, uri, hosts) -> {
      try {
        check(chain);
      } catch (LinkFault | IOException e) {
        throw new UaException(StatusCodes.Bad_CertificateUntrusted, e);
      }
    };
  }

  /** Returns a failure with more to say, where it is about security. */
  LinkFault explain(LinkFault fault) {
    long code = UaException.extractStatusCode(fault).map(StatusCode::value).orElse(0L);
    if (!config.isSecured() || code == 0) {
      return fault;
    }
    if (code == StatusCodes.Bad_IdentityTokenRejected
        || code == StatusCodes.Bad_IdentityTokenInvalid
        || code == StatusCodes.Bad_UserAccessDenied) {
      return new LinkFault(config.endpoint() + " does not let in " + whom(), fault);
    }
    if (code == StatusCodes.Bad_SecurityChecksFailed
        || code == StatusCodes.Bad_CertificateUntrusted
        || code == StatusCodes.Bad_CertificateInvalid
        || code == StatusCodes.Bad_CertificateUriInvalid
        || code == StatusCodes.Bad_CertificateTimeInvalid) {
      return new LinkFault(
          config.endpoint()
              + " does not trust Kerftally's certificate ("
              + fault.reason()
              + "); accept it at the device: "
              + folder.ownFile()
              + ownFingerprint(),
          fault);
    }
    return fault;
  }

  private String ownFingerprint() {
    try {
      return ", SHA-256 " + Fingerprint.of(folder.own().chain().get(0));
    } catch (IOException e) {
      return "";
    }
  }

  private String whom() {
    if (config.identity() instanceof OpcUaIdentity.User user) {
      return "the user "
          + user.user()
          + "; check the name and the password in the "
          + user.password();
    }
    if (config.identity() instanceof OpcUaIdentity.Certificate certificate) {
      return "whom the certificate in "
          + certificate.key().certificateFile()
          + " names; have the device accept it";
    }
    return "anybody without a name; write `identity` with a user";
  }
}
