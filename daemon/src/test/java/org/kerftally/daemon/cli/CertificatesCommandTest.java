package org.kerftally.daemon.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.kerftally.config.tls.Fingerprint;
import org.kerftally.daemon.site.SiteFolder;
import org.kerftally.protocol.broker.Authority;
import org.kerftally.protocol.certificates.CertificateFolder;

class CertificatesCommandTest {

  @TempDir private Path temp;
  private SiteFolder site;
  private CertificateFolder folder;

  @BeforeEach
  void configure() throws IOException {
    site = new SiteFolder(temp.resolve("site"));
    site.configure("opcua: { endpoint: \"opc.tcp://192.168.20.31:4840\", security: best }");
    folder = CertificateFolder.of(site.folder);
  }

  @Test
  void theOwnCertificateIsMadeOnFirstUseAndShown() {
    Shell first = Shell.run("certificates", "-c", site.config());
    Shell second = Shell.run("certificates", "-c", site.config());

    assertThat(first.code()).isZero();
    assertThat(first.out()).startsWith("own      ").contains("Kerftally on", "kerftally.der");
    assertThat(second.out()).isEqualTo(first.out());
  }

  @Test
  void aCertificateThatWaitsIsShownAndTrustedByItsFingerprint() throws IOException {
    String waiting = shown("positioner <b>of</b> saw1");
    Shell shown = Shell.run("certificates", "-c", site.config());
    assertThat(shown.out()).contains("waiting  " + waiting, "positioner", "192.168.20.31");

    String written = waiting.toUpperCase(java.util.Locale.ROOT).replaceAll("(..)(?=.)", "$1:");
    Shell accepted = Shell.run("certificates", "accept", written, "-c", site.config());

    assertThat(accepted.code()).isZero();
    assertThat(accepted.out()).contains("Trusted: " + waiting);
    assertThat(Shell.run("certificates", "-c", site.config()).out())
        .contains("trusted  " + waiting)
        .doesNotContain("waiting");
    Shell again = Shell.run("certificates", "accept", waiting, "-c", site.config());
    assertThat(again.code()).isZero();
    assertThat(again.out()).contains("Trusted already");
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "yes", "ab", "../trusted/x", "zz:zz", "*"})
  void whatIsNoWholeFingerprintIsWrongUsage(String nonsense) throws IOException {
    String waiting = shown("positioner");

    Shell shell = Shell.run("certificates", "accept", nonsense, "-c", site.config());
    Shell part = Shell.run("certificates", "accept", waiting.substring(0, 63), "-c", site.config());

    assertThat(shell.code()).isEqualTo(2);
    assertThat(shell.err()).contains("A fingerprint is 64 digits");
    assertThat(part.code()).isEqualTo(2);
    assertThat(folder.list()).noneMatch(c -> c.place().name().equals("TRUSTED"));
  }

  @Test
  void aFingerprintThatNobodyHasIsRefused() throws IOException {
    String unknown = "0".repeat(64);
    Shell none = Shell.run("certificates", "accept", unknown, "-c", site.config());
    shown("positioner");
    Shell other = Shell.run("certificates", "accept", unknown, "-c", site.config());

    assertThat(none.code()).isEqualTo(1);
    assertThat(none.err()).contains("none waits at all");
    assertThat(other.code()).isEqualTo(1);
    assertThat(other.err()).contains("1 with others do");
  }

  @Test
  void withoutASecuredLinkNothingIsMade() throws IOException {
    site.configure("opcua: { endpoint: \"opc.tcp://127.0.0.1:4840\" }");

    Shell shell = Shell.run("certificates", "-c", site.config());

    assertThat(shell.code()).isZero();
    assertThat(shell.out()).contains("No certificates");
    assertThat(site.folder.resolve("pki")).doesNotExist();
  }

  @Test
  void aBadConfigurationEndsWith78AndNoneWith2() throws IOException {
    Files.writeString(site.config(), "folder: .\n");
    assertThat(Shell.run("certificates", "-c", site.config()).code()).isEqualTo(78);
    assertThat(Shell.run("certificates", "accept", "0".repeat(64), "-c", site.config()).code())
        .isEqualTo(78);
    assertThat(Shell.run("certificates").code()).isEqualTo(2);
  }

  private String shown(String name) throws IOException {
    var certificate = new Authority("Maker").issue(name, "192.168.20.31").certificate();
    assertThat(folder.keepWaiting(certificate)).isTrue();
    return Fingerprint.of(certificate);
  }
}
