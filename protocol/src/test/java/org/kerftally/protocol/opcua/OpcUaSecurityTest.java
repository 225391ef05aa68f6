package org.kerftally.protocol.opcua;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.kerftally.config.OpcUaIdentity;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.OpcUaSecurity;
import org.kerftally.config.SecretPlace;
import org.kerftally.config.tls.KeyFiles;
import org.kerftally.protocol.Witness;
import org.kerftally.protocol.broker.Authority;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.protocol.certificates.SiteCertificate;
import org.kerftally.protocol.certificates.SiteCertificate.Place;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;
import org.kerftally.sim.OperatorModel;
import org.kerftally.sim.SimConfig;
import org.kerftally.sim.SimDevice;
import org.kerftally.sim.opcua.OpcUaDeviceServer;
import org.kerftally.sim.opcua.ServerSecurity;

/** Whom a secured link believes, what it shows, and what it says where either is wrong. */
final class OpcUaSecurityTest {

  private static final Duration PATIENCE = Duration.ofSeconds(40);
  private static final Duration TIMEOUT = Duration.ofSeconds(20);
  private static final Duration VALIDITY = Duration.ofSeconds(20);

  @TempDir private Path folder;

  private final List<AutoCloseable> open = new ArrayList<>();
  private SimDevice device;
  private CertificateFolder certificates;
  private ServerSecurity served;

  @BeforeEach
  void start() {
    device =
        opened(
            SimDevice.open(
                SimConfig.standard("saw1").withSpeed(40).withOperator(OperatorModel.ABSENT)));
    certificates = new CertificateFolder(folder.resolve("site/pki"));
    served = ServerSecurity.in(folder.resolve("device"));
  }

  @AfterEach
  void closeAll() throws Exception {
    for (int i = open.size() - 1; i >= 0; i--) {
      open.get(i).close();
    }
  }

  @ParameterizedTest
  @EnumSource(mode = EnumSource.Mode.EXCLUDE, names = "NONE")
  void aDeviceThatWasAcceptedIsSpokenToAndTakesATarget(OpcUaSecurity security) throws Exception {
    OpcUaDeviceServer server = serve(served);
    trustDevice();
    Witness seen = new Witness();
    OpcUaLink link = link(server, security, null, seen);

    await().atMost(PATIENCE).until(() -> seen.ups() == 1 && seen.latest().permitsMove());
    assertReaches(link, seen, 1);
    assertThat(server.keysAgreed()).isPositive();
  }

  @Test
  void aDeviceThatNobodyKnowsWaitsAndIsSpokenToOnceAccepted() throws Exception {
    OpcUaDeviceServer server = serve(served);
    Witness seen = new Witness();
    link(server, OpcUaSecurity.BEST, null, seen);

    await().atMost(PATIENCE).until(() -> seen.downs() == 1);
    SiteCertificate waiting = only(Place.WAITING);
    assertThat(reason(seen))
        .contains("the certificate of " + server.address() + " is not trusted yet")
        .contains("kerftally certificates accept " + waiting.fingerprint());
    assertThat(server.sessions()).isZero();
    assertThat(server.keysAgreed()).isZero();

    assertThat(certificates.accept(waiting.fingerprint())).isTrue();

    await().atMost(PATIENCE).until(() -> seen.ups() == 1);
    assertThat(certificates.list()).noneMatch(c -> c.place() == Place.WAITING);
  }

  @Test
  void aDeviceThatGetsAnotherCertificateWaitsAgain() throws Exception {
    OpcUaDeviceServer first = serve(served);
    trustDevice();
    Witness seen = new Witness();
    link(first, OpcUaSecurity.BEST, null, seen);
    await().atMost(PATIENCE).until(() -> seen.ups() == 1);

    first.close();
    opened(
        new OpcUaDeviceServer(device, first.port(), ServerSecurity.in(folder.resolve("impostor"))));

    await().atMost(PATIENCE).until(() -> !waiting().isEmpty());
    assertThat(seen.ups()).isEqualTo(1);
    assertThat(seen.isUp()).isFalse();
  }

  @Test
  void anExpiredCertificateIsRefusedThoughItWasAccepted() throws Exception {
    Path own = Files.createDirectories(folder.resolve("device/own"));
    Authority.Issued expired =
        new Authority("Device maker").issue("positioner", Duration.ofDays(-1), "127.0.0.1");
    Files.write(own.resolve("positioner.der"), expired.certificate().getEncoded());
    Files.writeString(own.resolve("positioner.key"), expired.keyPem());
    OpcUaDeviceServer server = serve(served);
    trustDevice();
    Witness seen = new Witness();
    link(server, OpcUaSecurity.BEST, null, seen);

    await().atMost(PATIENCE).until(() -> seen.downs() == 1);
    assertThat(reason(seen)).contains("holds from", "have the device make a new one");
    assertThat(server.keysAgreed()).isZero();
  }

  @Test
  void theRightUserIsLetInAndAnotherIsNamedByThePlaceOfHisPassword() throws Exception {
    OpcUaDeviceServer server = serve(served.withUser("kerftally", secret("right", "acacia honey")));
    trustDevice();
    Witness let = new Witness();
    Witness refused = new Witness();
    SecretPlace wrong = secret("wrong", "lime honey");

    link(
        server,
        OpcUaSecurity.BEST,
        new OpcUaIdentity.User("kerftally", secret("given", "acacia honey")),
        let);
    await().atMost(PATIENCE).until(() -> let.ups() == 1);
    link(server, OpcUaSecurity.BEST, new OpcUaIdentity.User("kerftally", wrong), refused);

    await().atMost(PATIENCE).until(() -> refused.downs() == 1);
    assertThat(reason(refused))
        .contains("does not let in the user kerftally")
        .contains("check the name and the password in the " + wrong)
        .doesNotContain("lime honey");
  }

  @Test
  void aUserMayShowACertificateInstead() throws Exception {
    Authority authority = new Authority("Office");
    Authority.Issued known = authority.issue("planner");
    Path users = Files.createDirectories(folder.resolve("device/users"));
    Files.writeString(users.resolve("planner.pem"), known.certificatePem());
    OpcUaDeviceServer server = serve(served.withUser("nobody", secret("p", "none")));
    trustDevice();
    Witness let = new Witness();
    Witness refused = new Witness();

    link(server, OpcUaSecurity.BEST, identity("known", known), let);
    await().atMost(PATIENCE).until(() -> let.ups() == 1);
    link(server, OpcUaSecurity.BEST, identity("foreign", authority.issue("x")), refused);

    await().atMost(PATIENCE).until(() -> refused.downs() == 1);
    assertThat(reason(refused)).contains("whom the certificate in", "foreign.p12");
  }

  @Test
  void aDeviceThatWantsAUserSaysSo() throws Exception {
    OpcUaDeviceServer server = serve(served.withUser("kerftally", secret("right", "acacia honey")));
    Witness seen = new Witness();
    link(server, OpcUaSecurity.BEST, null, seen);

    await().atMost(PATIENCE).until(() -> seen.downs() == 1);
    assertThat(reason(seen))
        .contains("offers no endpoint that signs and encrypts", "takes an anonymous user");
  }

  @Test
  void aDeviceThatDoesNotTrustUsIsNamedWithOurCertificate() throws Exception {
    OpcUaDeviceServer server = serve(served.withTrustedClientsOnly());
    trustDevice();
    Witness seen = new Witness();
    link(server, OpcUaSecurity.BEST, null, seen);

    await().atMost(PATIENCE).until(() -> seen.downs() == 1);
    assertThat(reason(seen))
        .contains("does not trust Kerftally's certificate")
        .contains(certificates.ownFile().toString(), only(Place.OWN).fingerprint());

    Path trusted = Files.createDirectories(folder.resolve("device/trusted"));
    Files.copy(certificates.ownFile(), trusted.resolve("kerftally.der"));
    await().atMost(PATIENCE).until(() -> seen.ups() == 1);
  }

  @Test
  void aDeviceWithoutSecurityIsNeverSpokenToInClear() {
    OpcUaDeviceServer server = opened(new OpcUaDeviceServer(device, 0));
    Witness seen = new Witness();
    link(server, OpcUaSecurity.BEST, null, seen);

    await().atMost(PATIENCE).until(() -> seen.downs() == 1);
    assertThat(reason(seen))
        .contains("no endpoint that signs and encrypts with Basic256Sha256 or newer")
        .contains("it offers None/None");
    assertThat(server.sessions()).isZero();
  }

  @Test
  void aDeviceWithSecurityAloneIsNotSpokenToInClear() {
    OpcUaDeviceServer server = serve(served);
    Witness seen = new Witness();
    link(server, OpcUaSecurity.NONE, null, seen);

    await().atMost(PATIENCE).until(() -> seen.downs() == 1);
    assertThat(seen.ups()).isZero();
  }

  @Test
  void keysThatAreRenewedDoNotDisturbTheLink() throws Exception {
    OpcUaDeviceServer server = serve(served.withLongestChannel(Duration.ofSeconds(1)));
    trustDevice();
    Witness seen = new Witness();
    link(server, OpcUaSecurity.BEST, null, seen);
    await().atMost(PATIENCE).until(() -> seen.ups() == 1 && seen.latest().permitsMove());
    long first = server.keysAgreed();
    OpcUaLink link = (OpcUaLink) open.get(open.size() - 1);

    for (int seq = 1; seq <= 4; seq++) {
      long renewals = first + seq;
      await().atMost(PATIENCE).until(() -> server.keysAgreed() >= renewals);
      assertReaches(link, seen, seq);
    }

    assertThat(seen.downs()).isZero();
    assertThat(seen.ups()).isEqualTo(1);
  }

  private OpcUaDeviceServer serve(ServerSecurity with) {
    return opened(new OpcUaDeviceServer(device, 0, with));
  }

  private OpcUaLink link(
      OpcUaDeviceServer server, OpcUaSecurity security, OpcUaIdentity identity, Witness seen) {
    OpcUaLinkConfig config =
        new OpcUaLinkConfig(
                server.address(),
                OpcUaLinkConfig.DEFAULT_NAMESPACE,
                Map.of(),
                OpcUaLinkConfig.DEFAULT_PUBLISHING,
                TIMEOUT)
            .with(security, identity);
    OpcUaLink link =
        opened(
            new OpcUaLink("saw1", config, Length.ofNm(100_000), certificates, Clock.systemUTC()));
    link.start(seen);
    return link;
  }

  private void assertReaches(OpcUaLink link, Witness seen, long seq) {
    Instant until = Instant.now().plus(VALIDITY);
    Length position = Length.ofMm(400 + 10 * seq);
    assertThat(link.send(new Target(seq, position, "super side", "comb-honey", until, VALIDITY)))
        .isTrue();
    await().atMost(PATIENCE).until(() -> !seen.repliesTo(seq).isEmpty());
    assertThat(seen.repliesTo(seq)).containsExactly(new LinkEvent.Replied(seq, true, null));
    await().atMost(PATIENCE).until(() -> seen.latest().targetReached());
  }

  private void trustDevice() throws IOException {
    var shown = KeyFiles.certificates(folder.resolve("device/own/positioner.der")).get(0);
    certificates.keepWaiting(shown);
    assertThat(certificates.accept(only(Place.WAITING).fingerprint())).isTrue();
  }

  private List<SiteCertificate> waiting() throws IOException {
    return certificates.list().stream().filter(c -> c.place() == Place.WAITING).toList();
  }

  private SiteCertificate only(Place place) throws IOException {
    List<SiteCertificate> found =
        certificates.list().stream().filter(c -> c.place() == place).toList();
    assertThat(found).hasSize(1);
    return found.get(0);
  }

  private SecretPlace secret(String name, String value) throws IOException {
    return new SecretPlace(Files.writeString(folder.resolve(name + ".password"), value), null);
  }

  private OpcUaIdentity identity(String name, Authority.Issued issued) throws IOException {
    Path store = issued.store(folder.resolve(name + ".p12"), "clover");
    return new OpcUaIdentity.Certificate(
        new org.kerftally.config.ClientKey(store, null, secret(name, "clover")));
  }

  private static String reason(Witness seen) {
    return seen.all(LinkEvent.Down.class).get(0).reason();
  }

  private <T extends AutoCloseable> T opened(T closeable) {
    open.add(closeable);
    return closeable;
  }
}
