package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Duration;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.daemon.site.SiteFolder;
import org.kerftally.protocol.broker.Authority;
import org.kerftally.protocol.broker.Authority.Issued;

/** What {@code check} says of secrets, certificates and plain text, without a connection. */
class SecurityCheckTest {

  private static final String TLS =
      "mqtt: { broker: \"ssl://broker.example:8883\", user: u, password-file: p, "
          + "tls: { ca-file: ca.pem, certificate-file: c.pem, key-file: c.key } }";

  @TempDir private Path temp;
  private final Authority authority = new Authority("Shop");
  private SiteFolder site;

  @BeforeEach
  void stock() throws IOException {
    site = new SiteFolder(temp.resolve("site"));
    site.stock();
  }

  @Test
  void aSiteWhoseLocksAreAllThereIsRight() throws IOException {
    site.configure(TLS);
    files(authority.issue("kerftally"));

    Shell shell = check();

    assertThat(shell.err()).isEmpty();
    assertThat(shell.code()).isZero();
    assertThat(shell.out()).doesNotContain("acacia", "Note:");
  }

  @Test
  void whatIsNotThereIsNamedByItsPlace() throws IOException {
    site.configure(TLS);

    Shell shell = check();

    assertThat(shell.code()).isEqualTo(1);
    assertThat(shell.err().lines()).hasSize(3).allMatch(line -> line.contains("station saw1: "));
    assertThat(shell.err()).contains("site/p ", "site/ca.pem", "site/c.pem");
  }

  @Test
  void aCertificateThatExpiredIsAFaultAndOneThatSoonWillIsANote() throws IOException {
    site.configure(TLS);
    files(authority.issue("kerftally", Duration.ofDays(-1)));
    Shell expired = check();
    files(authority.issue("kerftally", Duration.ofDays(3)));
    Shell soon = check();

    assertThat(expired.code()).isEqualTo(1);
    assertThat(expired.err()).contains("c.pem expired on 20", "renew it");
    assertThat(soon.code()).isZero();
    assertThat(soon.out()).contains("Note: station saw1: the certificate in ", "expires on 20");
  }

  @Test
  void aKeyThatIsAnothersIsAFault() throws IOException {
    site.configure(TLS);
    files(authority.issue("kerftally"));
    write("c.key", authority.issue("other").keyPem());

    assertThat(check().err()).contains("c.key is not that of the first certificate in ");
  }

  @Test
  void aSecretThatEverybodyCanReadIsRemarkedOn() throws IOException {
    site.configure(TLS);
    files(authority.issue("kerftally"));
    Path password = site.folder.resolve("p");
    Files.setPosixFilePermissions(password, PosixFilePermissions.fromString("rw-r--r--"));

    assertThat(check().out()).contains("Note: " + password, "chmod o=");
  }

  @Test
  void aLinkInClearAndAnOpenBoardAreRemarkedOn() throws IOException {
    site.configure("opcua: { endpoint: \"opc.tcp://saw1.example:4840\", plain-text: accepted }");
    String open = "board: 0.0.0.0:8418\nboard-plain-text: accepted\nboard-token-file: t";
    Files.writeString(site.config(), Files.readString(site.config()).replace("board: off", open));
    write("t", "heather");

    Shell shell = check();

    assertThat(shell.code()).isZero();
    assertThat(shell.out())
        .contains("Note: station saw1: messages to opc.tcp://saw1.example:4840 leave this machine")
        .contains("Note: the board can be read from other machines", "by who shows the token")
        .doesNotContain("heather");
  }

  @Test
  void aLinkInClearThatNobodyAcceptedIsABadConfiguration() throws IOException {
    site.configure("opcua: { endpoint: \"opc.tcp://saw1.example:4840\" }");

    Shell shell = check();

    assertThat(shell.code()).isEqualTo(78);
    assertThat(shell.err()).contains("leaves this machine in clear", "security: best");
  }

  private void files(Issued issued) throws IOException {
    write("p", "acacia honey");
    write("ca.pem", authority.pem());
    write("c.pem", issued.certificatePem());
    write("c.key", issued.keyPem());
  }

  private void write(String name, String text) throws IOException {
    Path file = Files.writeString(site.folder.resolve(name), text);
    Files.setPosixFilePermissions(file, PosixFilePermissions.fromString("rw-r-----"));
  }

  private Shell check() {
    return Shell.run("check", "-c", site.config());
  }
}
