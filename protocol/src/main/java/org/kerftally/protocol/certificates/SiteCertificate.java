package org.kerftally.protocol.certificates;

import java.nio.file.Path;
import java.security.cert.X509Certificate;
import java.time.Instant;
import java.util.List;
import org.eclipse.milo.opcua.stack.core.util.CertificateUtil;
import org.kerftally.config.tls.Fingerprint;

/**
 * Tells what a person needs to decide about a certificate. Texts from the certificate are made safe
 * to print: one line, bounded, no control characters.
 *
 * @param place where it is kept
 * @param fingerprint its SHA-256, 64 digits
 * @param subject whom it names
 * @param hosts the host names and addresses it names
 * @param from when it begins to hold
 * @param until when it ends
 * @param file its file
 */
public record SiteCertificate(
    Place place,
    String fingerprint,
    String subject,
    List<String> hosts,
    Instant from,
    Instant until,
    Path file) {

  private static final int MAX_TEXT_CHARS = 160;
  private static final int MAX_HOSTS = 8;

  /** Where a certificate is kept. */
  public enum Place {
    /** The site's own. */
    OWN,
    /** Those that devices may show. */
    TRUSTED,
    /** Those that a device has shown and nobody has decided about. */
    WAITING
  }

  static SiteCertificate of(Place place, X509Certificate certificate, Path file) {
    List<String> hosts =
        java.util.stream.Stream.concat(
                CertificateUtil.getSanDnsNames(certificate).stream(),
                CertificateUtil.getSanIpAddresses(certificate).stream())
            .limit(MAX_HOSTS)
            .map(SiteCertificate::safe)
            .toList();
    return new SiteCertificate(
        place,
        Fingerprint.of(certificate),
        safe(certificate.getSubjectX500Principal().getName()),
        hosts,
        certificate.getNotBefore().toInstant(),
        certificate.getNotAfter().toInstant(),
        file);
  }

  private static String safe(String text) {
    String plain = text.replaceAll("[^\\p{L}\\p{N}\\p{P}\\p{S} ]", "?");
    return plain.length() > MAX_TEXT_CHARS ? plain.substring(0, MAX_TEXT_CHARS) + "…" : plain;
  }
}
