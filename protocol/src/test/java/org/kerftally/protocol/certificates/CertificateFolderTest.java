package org.kerftally.protocol.certificates;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.kerftally.config.tls.Fingerprint;
import org.kerftally.config.tls.KeyAndChain;
import org.kerftally.protocol.broker.Authority;
import org.kerftally.protocol.certificates.SiteCertificate.Place;

class CertificateFolderTest {

  @TempDir private Path folder;

  private CertificateFolder certificates() {
    return CertificateFolder.of(folder);
  }

  @Test
  void theOwnCertificateIsMadeOnceAndItsKeyIsTheOwnersAlone() throws IOException {
    KeyAndChain first = certificates().own();
    KeyAndChain second = certificates().own();

    assertThat(second.chain()).isEqualTo(first.chain());
    assertThat(second.key()).isEqualTo(first.key());
    Path key = folder.resolve("pki/own/kerftally.key");
    assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(key)))
        .isEqualTo("rw-------");
    assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(key.getParent())))
        .isEqualTo("rwx------");
    assertThat(first.toString()).contains("Kerftally").doesNotContain("BEGIN");
  }

  @Test
  void severalLinksThatStartAtOnceShareOneCertificate() throws Exception {
    ExecutorService pool = Executors.newFixedThreadPool(4);
    try {
      List<Future<KeyAndChain>> made = new ArrayList<>();
      for (int i = 0; i < 8; i++) {
        made.add(pool.submit(() -> certificates().own()));
      }
      KeyAndChain first = made.get(0).get();
      for (Future<KeyAndChain> each : made) {
        assertThat(each.get().chain()).isEqualTo(first.chain());
      }
    } finally {
      pool.shutdownNow();
    }
  }

  @Test
  void aKeyThatACrashLeftWithoutItsCertificateIsReplaced() throws IOException {
    Path own = Files.createDirectories(folder.resolve("pki/own"));
    Files.writeString(own.resolve("kerftally.key"), "half");

    assertThat(certificates().own().chain()).hasSize(1);
  }

  @Test
  void onlyWhatAPersonAcceptedIsTrusted() throws IOException {
    var shown = new Authority("Maker").issue("positioner", "127.0.0.1").certificate();

    assertThat(certificates().isTrusted(shown)).isFalse();
    assertThat(certificates().keepWaiting(shown)).isTrue();
    assertThat(certificates().keepWaiting(shown)).isTrue();
    assertThat(certificates().isTrusted(shown)).isFalse();
    assertThat(certificates().accept("0".repeat(64))).isFalse();
    assertThat(certificates().accept(Fingerprint.of(shown))).isTrue();
    assertThat(certificates().isTrusted(shown)).isTrue();
    assertThat(certificates().accept(Fingerprint.of(shown))).isFalse();
  }

  @Test
  void whoeverShowsManyCertificatesDoesNotFillTheDisk() throws Exception {
    Path waiting = Files.createDirectories(folder.resolve("pki/waiting"));
    byte[] one = new Authority("Maker").issue("x").certificate().getEncoded();
    for (int i = 0; i < CertificateFolder.MAX_WAITING; i++) {
      Files.write(waiting.resolve(i + ".der"), one);
    }
    var more = new Authority("Maker").issue("positioner").certificate();

    assertThat(certificates().keepWaiting(more)).isFalse();
    assertThat(certificates().list()).hasSize(CertificateFolder.MAX_WAITING);
  }

  @Test
  void aFileThatIsNoCertificateIsNamed() throws IOException {
    Path trusted = Files.createDirectories(folder.resolve("pki/trusted"));
    Path bad = Files.writeString(trusted.resolve("saw1.pem"), "nothing");
    Files.writeString(trusted.resolve("notes.txt"), "passed over");

    assertThatThrownBy(() -> certificates().list())
        .isInstanceOf(IOException.class)
        .hasMessageContaining(bad.toString());
  }

  @Test
  void whatACertificateSaysOfItselfCannotSteerATerminal() throws IOException {
    certificates().keepWaiting(new Authority("Maker").issue("a\u001B[2Jb\u202Ec").certificate());

    assertThat(certificates().list())
        .singleElement()
        .satisfies(
            c -> {
              assertThat(c.place()).isEqualTo(Place.WAITING);
              assertThat(c.subject()).doesNotContain("\u001B", "\u202E");
            });
  }
}
