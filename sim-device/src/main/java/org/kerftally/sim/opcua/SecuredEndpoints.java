package org.kerftally.sim.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.KeyPair;
import java.security.MessageDigest;
import java.security.Security;
import java.security.cert.X509Certificate;
import java.time.Period;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import org.bouncycastle.jce.provider.BouncyCastleProvider;
import org.eclipse.milo.opcua.sdk.server.EndpointConfig;
import org.eclipse.milo.opcua.sdk.server.OpcUaServerConfigBuilder;
import org.eclipse.milo.opcua.sdk.server.identity.AnonymousIdentityValidator;
import org.eclipse.milo.opcua.sdk.server.identity.CompositeValidator;
import org.eclipse.milo.opcua.sdk.server.identity.UsernameIdentityValidator;
import org.eclipse.milo.opcua.sdk.server.identity.X509IdentityValidator;
import org.eclipse.milo.opcua.stack.core.NodeIds;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.security.CertificateStore;
import org.eclipse.milo.opcua.stack.core.security.DefaultApplicationGroup;
import org.eclipse.milo.opcua.stack.core.security.DefaultCertificateManager;
import org.eclipse.milo.opcua.stack.core.security.MemoryCertificateQuarantine;
import org.eclipse.milo.opcua.stack.core.security.MemoryCertificateStore;
import org.eclipse.milo.opcua.stack.core.security.MemoryTrustListManager;
import org.eclipse.milo.opcua.stack.core.security.RsaSha256CertificateFactory;
import org.eclipse.milo.opcua.stack.core.security.SecurityPolicy;
import org.eclipse.milo.opcua.stack.core.types.enumerated.MessageSecurityMode;
import org.eclipse.milo.opcua.stack.core.types.enumerated.UserTokenType;
import org.eclipse.milo.opcua.stack.core.types.structured.UserTokenPolicy;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateBuilder;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateGenerator;
import org.eclipse.milo.opcua.stack.transport.server.tcp.OpcTcpServerTransportConfigBuilder;
import org.kerftally.config.ClientKey;
import org.kerftally.config.SecretPlace;
import org.kerftally.config.tls.Fingerprint;
import org.kerftally.config.tls.KeyAndChain;
import org.kerftally.config.tls.KeyFiles;
import org.kerftally.config.tls.KeyWriter;

/** Makes the secured endpoints of a device's server, and judges who comes to them. */
final class SecuredEndpoints {

  private static final int KEY_BITS = 2048;
  private static final Period VALIDITY = Period.ofYears(10);
  private static final int MAX_FILES = 64;

  private static final List<SecurityPolicy> POLICIES =
      List.of(
          SecurityPolicy.Basic256Sha256,
          SecurityPolicy.Aes128_Sha256_RsaOaep,
          SecurityPolicy.Aes256_Sha256_RsaPss);

  private static final UserTokenPolicy ANYBODY =
      new UserTokenPolicy("anonymous", UserTokenType.Anonymous, null, null, null);
  private static final UserTokenPolicy BY_CERTIFICATE =
      new UserTokenPolicy("certificate", UserTokenType.Certificate, null, null, null);

  static {
    // Aes256_Sha256_RsaPss asks for a signature by a name that this provider alone knows. Added
    // last, it changes nothing for what others provide.
    if (Security.getProvider(BouncyCastleProvider.PROVIDER_NAME) == null) {
      Security.addProvider(new BouncyCastleProvider());
    }
  }

  private final ServerSecurity security;
  private final String applicationUri;

  SecuredEndpoints(ServerSecurity security, String applicationUri) {
    this.security = security;
    this.applicationUri = applicationUri;
  }

  /**
   * Returns the endpoints: one a policy, and one where anybody may ask what there is.
   *
   * @param plain the endpoint without security, which they are like
   */
  List<EndpointConfig> like(EndpointConfig.Builder plain) {
    X509Certificate certificate = own().chain().get(0);
    Stream<EndpointConfig> secured =
        POLICIES.stream()
            .map(
                policy -> {
                  EndpointConfig.Builder builder =
                      plain
                          .copy()
                          .setSecurityPolicy(policy)
                          .setSecurityMode(MessageSecurityMode.SignAndEncrypt)
                          .setCertificate(certificate);
                  UserTokenPolicy byName = security.user() == null ? ANYBODY : byName(policy);
                  return builder.addTokenPolicies(byName, BY_CERTIFICATE).build();
                });
    EndpointConfig discovery =
        plain
            .copy()
            .setPath("/discovery")
            .setSecurityPolicy(SecurityPolicy.None)
            .setSecurityMode(MessageSecurityMode.None)
            .build();
    return Stream.concat(secured, Stream.of(discovery)).toList();
  }

  /** The password is encrypted once more, by the same policy as the message around it. */
  private static UserTokenPolicy byName(SecurityPolicy policy) {
    return new UserTokenPolicy(
        "user-" + policy.name(), UserTokenType.UserName, null, null, policy.getUri());
  }

  /** Puts certificate, key and judges into the server's configuration. */
  void secure(OpcUaServerConfigBuilder server) {
    KeyAndChain own = own();
    X509Certificate[] chain = own.chain().toArray(X509Certificate[]::new);
    try {
      MemoryCertificateStore store = new MemoryCertificateStore();
      store.set(
          NodeIds.RsaSha256ApplicationCertificateType,
          new CertificateStore.Entry(own.key(), chain));
      DefaultApplicationGroup group =
          DefaultApplicationGroup.createAndInitialize(
              new MemoryTrustListManager(),
              store,
              new Never(),
              (shown, uri, hosts) -> judge(shown));
      server.setCertificateManager(
          new DefaultCertificateManager(new MemoryCertificateQuarantine(), group));
    } catch (Exception e) {
      throw new IllegalStateException("the device's certificate cannot be used", e);
    }
    String user = security.user();
    X509IdentityValidator byCertificate = new X509IdentityValidator(shown -> isIn("users", shown));
    server.setIdentityValidator(
        user == null
            ? new CompositeValidator(AnonymousIdentityValidator.INSTANCE, byCertificate)
            : new CompositeValidator(
                new UsernameIdentityValidator(
                    shown -> shown.getUsername().equals(user) && isPassword(shown.getPassword())),
                byCertificate));
  }

  /** Bounds how long keys are used. */
  void bound(OpcTcpServerTransportConfigBuilder transport) {
    long millis = security.longestChannel().toMillis();
    transport
        .setMinimumSecureChannelLifetime(uint(Math.min(millis, 1_000)))
        .setMaximumSecureChannelLifetime(uint(millis));
  }

  private boolean isPassword(String shown) {
    try {
      SecretPlace place = Objects.requireNonNull(security.password());
      return MessageDigest.isEqual(
          place.read().getBytes(java.nio.charset.StandardCharsets.UTF_8),
          shown.getBytes(java.nio.charset.StandardCharsets.UTF_8));
    } catch (IOException e) {
      return false;
    }
  }

  private void judge(List<X509Certificate> shown) throws UaException {
    if (!security.anyClient() && (shown.isEmpty() || !isIn("trusted", shown.get(0)))) {
      throw new UaException(StatusCodes.Bad_CertificateUntrusted, "not in trusted/");
    }
  }

  private boolean isIn(String name, X509Certificate shown) {
    Path folder = security.folder().resolve(name);
    if (!Files.isDirectory(folder)) {
      return false;
    }
    try (Stream<Path> files = Files.list(folder)) {
      for (Path file : files.limit(MAX_FILES).toList()) {
        if (Fingerprint.of(KeyFiles.certificates(file).get(0)).equals(Fingerprint.of(shown))) {
          return true;
        }
      }
      return false;
    } catch (IOException e) {
      return false;
    }
  }

  private KeyAndChain own() {
    Path folder = security.folder().resolve("own");
    Path certificate = folder.resolve("positioner.der");
    Path key = folder.resolve("positioner.key");
    try {
      if (!Files.exists(certificate)) {
        KeyWriter.makePrivateFolder(folder);
        KeyPair pair = SelfSignedCertificateGenerator.generateRsaKeyPair(KEY_BITS);
        KeyWriter.writeKey(key, pair.getPrivate());
        KeyWriter.writeCertificate(certificate, make(pair));
      }
      return KeyFiles.load(new ClientKey(certificate, key, null));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (Exception e) {
      throw new IllegalStateException("the device's certificate cannot be made", e);
    }
  }

  private X509Certificate make(KeyPair pair) throws Exception {
    return new SelfSignedCertificateBuilder(pair)
        .setCommonName("Simulated positioner")
        .setApplicationUri(applicationUri)
        .addDnsName("localhost")
        .addIpAddress("127.0.0.1")
        .setValidityPeriod(VALIDITY)
        .build();
  }

  /** The store holds the certificate already: none is ever made here. */
  private static final class Never extends RsaSha256CertificateFactory {
    @Override
    protected X509Certificate[] createRsaSha256CertificateChain(KeyPair pair) {
      throw new IllegalStateException("the store is empty");
    }
  }
}
