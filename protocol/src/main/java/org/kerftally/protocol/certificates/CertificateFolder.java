package org.kerftally.protocol.certificates;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.security.cert.X509Certificate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.kerftally.config.tls.Fingerprint;
import org.kerftally.config.tls.KeyAndChain;
import org.kerftally.config.tls.KeyFiles;
import org.kerftally.config.tls.KeyWriter;
import org.kerftally.protocol.certificates.SiteCertificate.Place;

/**
 * Keeps a site's certificates in {@code pki/} of its folder:
 *
 * <pre>
 * pki/own/       kerftally.der, kerftally.key   made on first use; the key is its owner's alone
 * pki/trusted/   *.der *.crt *.cer *.pem        what a device may show
 * pki/waiting/   FINGERPRINT.der                what a device has shown, until a person decides
 * </pre>
 *
 * <p>Trust is in the very certificate, not in who signed it: a shop has a handful of devices, and a
 * person who compares a fingerprint once is a better judge than a list of authorities that nobody
 * looks after. A device that gets a new certificate waits again. Nothing is ever trusted by itself.
 *
 * <p>Files are read each time, so that an accepted certificate counts at the next try. Bounded: at
 * most {@value #MAX_FILES} files a folder are read, at most {@value #MAX_WAITING} wait. Safe for
 * any thread; two processes may share the folder.
 */
public final class CertificateFolder {

  /** More than the devices of any site. */
  static final int MAX_FILES = 256;

  /** Whoever can reach us could fill the disk else. */
  static final int MAX_WAITING = 32;

  private static final Set<String> EXTENSIONS = Set.of("der", "crt", "cer", "pem");
  private static final Object WRITING = new Object();

  private final Path pki;

  /** Names the folder; it need not be there. */
  public CertificateFolder(Path pki) {
    this.pki = pki;
  }

  /** Returns the folder of the site whose files are in {@code siteFolder}. */
  public static CertificateFolder of(Path siteFolder) {
    return new CertificateFolder(siteFolder.resolve("pki"));
  }

  /** Returns the file of the site's own certificate, to be imported at the device. */
  public Path ownFile() {
    return folder(Place.OWN).resolve("kerftally.der");
  }

  private Path keyFile() {
    return folder(Place.OWN).resolve("kerftally.key");
  }

  private Path folder(Place place) {
    return pki.resolve(place.name().toLowerCase(Locale.ROOT));
  }

  /**
   * Returns the site's own certificate and key, making them when there are none.
   *
   * @throws IOException with words for a person when they cannot be read or written
   */
  public KeyAndChain own() throws IOException {
    synchronized (WRITING) {
      Path own = folder(Place.OWN);
      KeyWriter.makePrivateFolder(own);
      try (FolderLock lock = FolderLock.acquire(own)) {
        lock.mustHold();
        if (!Files.exists(ownFile())) {
          KeyAndChain made = OwnCertificate.make();
          // The certificate last: a key without one, left by a crash, is replaced.
          KeyWriter.writeKey(keyFile(), made.key());
          KeyWriter.writeCertificate(ownFile(), made.chain().get(0));
        }
        return KeyFiles.load(new org.kerftally.config.ClientKey(ownFile(), keyFile(), null));
      }
    }
  }

  /** Tells whether a device may show this certificate. */
  public boolean isTrusted(X509Certificate certificate) throws IOException {
    String fingerprint = Fingerprint.of(certificate);
    return read(Place.TRUSTED).stream().anyMatch(c -> c.fingerprint().equals(fingerprint));
  }

  /**
   * Puts a certificate down for a person to decide about.
   *
   * @return whether it waits now; {@code false} when too many do already
   */
  public boolean keepWaiting(X509Certificate certificate) throws IOException {
    synchronized (WRITING) {
      Path waiting = folder(Place.WAITING);
      Path file = waiting.resolve(Fingerprint.of(certificate) + ".der");
      if (Files.exists(file)) {
        return true;
      }
      if (read(Place.WAITING).size() >= MAX_WAITING) {
        return false;
      }
      Files.createDirectories(waiting);
      KeyWriter.writeCertificate(file, certificate);
      return true;
    }
  }

  /** Returns every certificate there is: the own first, then those trusted, then those waiting. */
  public List<SiteCertificate> list() throws IOException {
    List<SiteCertificate> all = new ArrayList<>();
    for (Place place : Place.values()) {
      all.addAll(read(place));
    }
    return all;
  }

  /**
   * Trusts a certificate that waits.
   *
   * @param fingerprint its whole fingerprint in lower case without separators
   * @return whether one with it waits
   */
  public boolean accept(String fingerprint) throws IOException {
    synchronized (WRITING) {
      for (SiteCertificate waiting : read(Place.WAITING)) {
        if (waiting.fingerprint().equals(fingerprint)) {
          Path trusted = Files.createDirectories(folder(Place.TRUSTED));
          Files.move(
              waiting.file(),
              trusted.resolve(fingerprint + ".der"),
              StandardCopyOption.REPLACE_EXISTING);
          return true;
        }
      }
      return false;
    }
  }

  private List<SiteCertificate> read(Place place) throws IOException {
    List<SiteCertificate> found = new ArrayList<>();
    Path folder = folder(place);
    if (!Files.isDirectory(folder)) {
      return found;
    }
    int files = 0;
    try (DirectoryStream<Path> entries = Files.newDirectoryStream(folder)) {
      for (Path file : entries) {
        if (!isCertificate(file)) {
          continue;
        }
        if (++files > MAX_FILES) {
          throw new IOException(folder + " holds more than " + MAX_FILES + " files; clear it");
        }
        for (X509Certificate certificate : KeyFiles.certificates(file)) {
          found.add(SiteCertificate.of(place, certificate, file));
        }
      }
    }
    found.sort(Comparator.comparing(SiteCertificate::fingerprint));
    return found;
  }

  private static boolean isCertificate(Path file) {
    String name = file.getFileName().toString().toLowerCase(Locale.ROOT);
    int dot = name.lastIndexOf('.');
    return dot > 0 && EXTENSIONS.contains(name.substring(dot + 1)) && Files.isRegularFile(file);
  }
}
