package org.kerftally.daemon.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermission;
import java.security.cert.X509Certificate;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.ClientKey;
import org.kerftally.config.LinkConfig;
import org.kerftally.config.MqttLinkConfig;
import org.kerftally.config.OpcUaIdentity;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.SecretPlace;
import org.kerftally.config.SiteConfig;
import org.kerftally.config.StationConfig;
import org.kerftally.config.tls.KeyFiles;
import org.kerftally.protocol.certificates.CertificateFolder;
import org.kerftally.protocol.certificates.SiteCertificate;

/**
 * Looks whether secrets, certificates and keys are where the configuration says, without connecting
 * to anything. Says places, never secrets.
 */
final class SecurityCheck {

  private static final Duration SOON = Duration.ofDays(30);
  private static final Set<PosixFilePermission> OTHERS =
      Set.of(PosixFilePermission.OTHERS_READ, PosixFilePermission.OTHERS_WRITE);

  private final Clock clock;
  private final List<String> faults = new ArrayList<>();
  private final List<String> notes = new ArrayList<>();

  private SecurityCheck(Clock clock) {
    this.clock = clock;
  }

  /** Checks a site. */
  static SecurityCheck of(SiteConfig site, Clock clock) {
    SecurityCheck check = new SecurityCheck(clock);
    check.secret("board", site.board().token());
    if (!site.board().isLoopback()) {
      check.notes.add(
          "the board can be read from other machines on "
              + site.board().host()
              + ", "
              + (site.board().token() == null ? "by anyone and" : "by who shows the token, but")
              + " in plain text. Bind it to 127.0.0.1 where that is not wanted.");
    }
    for (StationConfig station : site.stations()) {
      check.link("station " + station.name(), station.link());
    }
    check.waiting(site);
    return check;
  }

  /** Returns what keeps the site from working. */
  List<String> faults() {
    return faults;
  }

  /** Returns what somebody should know. */
  List<String> notes() {
    return notes;
  }

  private void link(String who, LinkConfig link) {
    if (link.isExposed()) {
      notes.add(
          who
              + ": messages to "
              + link.address()
              + " leave this machine in clear, as `plain-text: accepted` says. Whoever shares the"
              + " network can read them and send positions.");
    }
    if (link instanceof MqttLinkConfig mqtt) {
      secret(who, mqtt.password());
      if (mqtt.isSecured()) {
        authority(who, mqtt.tls().caFile());
        key(who, mqtt.tls().clientKey());
      }
    } else if (link instanceof OpcUaLinkConfig opcua) {
      if (opcua.identity() instanceof OpcUaIdentity.User user) {
        secret(who, user.password());
      } else if (opcua.identity() instanceof OpcUaIdentity.Certificate certificate) {
        key(who, certificate.key());
      }
    }
  }

  private void secret(String who, @Nullable SecretPlace place) {
    if (place == null) {
      return;
    }
    try {
      if (place.read().isEmpty()) {
        faults.add(who + ": the " + place + " holds nothing.");
      }
    } catch (IOException e) {
      faults.add(who + ": " + e.getMessage() + ".");
    }
    privacy(place.file());
  }

  private void privacy(@Nullable Path file) {
    try {
      if (file != null && Files.getPosixFilePermissions(file).stream().anyMatch(OTHERS::contains)) {
        notes.add(file + " holds a secret, and every user of this machine can read it: chmod o=.");
      }
    } catch (IOException | UnsupportedOperationException e) {
      // That it cannot be read is said elsewhere; where there are no such rights, none are wrong.
      return;
    }
  }

  private void authority(String who, @Nullable Path file) {
    try {
      if (file != null) {
        KeyFiles.certificates(file).forEach(c -> validity(who, file, c));
      }
    } catch (IOException e) {
      faults.add(who + ": " + e.getMessage() + ".");
    }
  }

  private void key(String who, @Nullable ClientKey key) {
    if (key == null) {
      return;
    }
    try {
      validity(who, key.certificateFile(), KeyFiles.load(key).chain().get(0));
    } catch (IOException e) {
      faults.add(who + ": " + e.getMessage() + ".");
    }
    privacy(key.isStore() ? key.certificateFile() : key.keyFile());
  }

  private void validity(String who, Path file, X509Certificate certificate) {
    Instant until = certificate.getNotAfter().toInstant();
    Instant now = clock.instant();
    String when = until.atZone(ZoneOffset.UTC).toLocalDate().toString();
    if (until.isBefore(now)) {
      faults.add(who + ": the certificate in " + file + " expired on " + when + "; renew it.");
    } else if (until.isBefore(now.plus(SOON))) {
      notes.add(who + ": the certificate in " + file + " expires on " + when + ".");
    }
  }

  private void waiting(SiteConfig site) {
    try {
      long count =
          CertificateFolder.of(site.folder()).list().stream()
              .filter(c -> c.place() == SiteCertificate.Place.WAITING)
              .count();
      if (count > 0) {
        notes.add(
            count
                + " certificate(s) of devices wait for a decision: kerftally certificates -c FILE");
      }
    } catch (IOException e) {
      faults.add("pki: " + e.getMessage() + ".");
    }
  }
}
