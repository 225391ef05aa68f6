package org.kerftally.daemon.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.awaitility.Awaitility.await;

import java.nio.file.Files;
import java.nio.file.Path;
import java.security.cert.X509Certificate;
import java.time.Duration;
import org.eclipse.milo.opcua.sdk.client.DiscoveryClient;
import org.eclipse.milo.opcua.sdk.client.identity.UsernameProvider;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.security.CertificateValidator;
import org.eclipse.milo.opcua.stack.core.security.SecurityPolicy;
import org.eclipse.milo.opcua.stack.core.types.enumerated.MessageSecurityMode;
import org.eclipse.milo.opcua.stack.core.types.enumerated.UserTokenType;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A secured device speaks to whom it trusts, and to nobody else. */
@Timeout(300)
final class SecuredPeerIT {

  private static final Duration PATIENCE = Duration.ofSeconds(60);
  private static final String CLIENT_URI = "urn:example:office";
  private static final String USER = "office";
  private static final String PASSWORD = "smoked oak";
  private static final String REFERENCED = "nsu=urn:example:pusher;i=103";

  @TempDir private static Path folder;

  private static PeerCertificate trusted;
  private static NodePeer device;
  private static X509Certificate shown;

  @BeforeAll
  static void start() throws Exception {
    NodePeer.require();
    trusted = PeerCertificate.make(folder, "office", CLIENT_URI);
    PeerCertificate own = PeerCertificate.make(folder, "device", "urn:example:pusher-17");
    shown = own.certificate();
    Path password = Files.writeString(folder.resolve("password"), PASSWORD + "\n");
    device = NodePeer.pusher(folder, own.secure(trusted.file(), USER, password));
  }

  @AfterAll
  static void end() throws Exception {
    if (device != null) {
      device.close();
    }
  }

  private static UaClient open(PeerCertificate client, String password) throws UaException {
    CertificateValidator validator =
        (chain, uri, hosts) -> {
          if (!chain.get(0).equals(shown)) {
            throw new UaException(StatusCodes.Bad_CertificateUntrusted);
          }
        };
    return UaClient.open(
        device.endpoint(),
        config ->
            config
                .setApplicationUri(CLIENT_URI)
                .setKeyPair(client.keys())
                .setCertificate(client.certificate())
                .setCertificateChain(new X509Certificate[] {client.certificate()})
                .setCertificateValidator(validator)
                .setIdentityProvider(new UsernameProvider(USER, password, validator)));
  }

  private static long code(Throwable e) {
    return UaException.extractStatusCode(e).orElseThrow().value();
  }

  @Test
  void whomItTrustsIsLetInWithTheRightPasswordAlone() throws Exception {
    try (UaClient client = open(trusted, PASSWORD)) {
      await().atMost(PATIENCE).until(() -> client.read(REFERENCED).equals(true));
    }
    assertThatThrownBy(() -> open(trusted, "raw oak"))
        .satisfies(e -> assertThat(code(e)).isEqualTo(StatusCodes.Bad_UserAccessDenied));
  }

  @Test
  void aCertificateThatNobodyToldItOfIsRejected() throws Exception {
    PeerCertificate stranger = PeerCertificate.make(folder, "stranger", CLIENT_URI);

    assertThatThrownBy(() -> open(stranger, PASSWORD))
        .satisfies(
            e ->
                assertThat(code(e))
                    .isIn(
                        StatusCodes.Bad_CertificateUntrusted,
                        StatusCodes.Bad_SecurityChecksFailed));
  }

  @Test
  void itOffersNothingWithoutEncryptionAndNothingForAnybody() throws Exception {
    assertThat(DiscoveryClient.getEndpoints(device.endpoint()).get())
        .isNotEmpty()
        .allSatisfy(
            offer -> {
              assertThat(offer.getSecurityPolicyUri())
                  .isEqualTo(SecurityPolicy.Basic256Sha256.getUri());
              assertThat(offer.getSecurityMode()).isEqualTo(MessageSecurityMode.SignAndEncrypt);
              assertThat(offer.getUserIdentityTokens())
                  .extracting(token -> token.getTokenType())
                  .contains(UserTokenType.UserName)
                  .doesNotContain(UserTokenType.Anonymous);
            });
  }
}
