package org.kerftally.protocol.broker;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.math.BigInteger;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyPair;
import java.security.KeyPairGenerator;
import java.security.KeyStore;
import java.security.PrivateKey;
import java.security.SecureRandom;
import java.security.cert.Certificate;
import java.security.cert.X509Certificate;
import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.Base64;
import java.util.Date;
import org.bouncycastle.asn1.x500.X500Name;
import org.bouncycastle.asn1.x509.BasicConstraints;
import org.bouncycastle.asn1.x509.Extension;
import org.bouncycastle.asn1.x509.GeneralName;
import org.bouncycastle.asn1.x509.GeneralNames;
import org.bouncycastle.cert.X509v3CertificateBuilder;
import org.bouncycastle.cert.jcajce.JcaX509CertificateConverter;
import org.bouncycastle.cert.jcajce.JcaX509v3CertificateBuilder;
import org.bouncycastle.operator.OperatorCreationException;
import org.bouncycastle.operator.jcajce.JcaContentSignerBuilder;

/** Signs certificates for one test and is forgotten with it: none is ever kept in the project. */
public final class Authority {

  private static final SecureRandom RANDOM = new SecureRandom();

  private final X500Name name;
  private final KeyPair keys = keys();
  private final X509Certificate own;

  /** Makes an authority. */
  public Authority(String name) {
    this.name = new X500Name("CN=" + name);
    this.own = sign(this.name, keys, true, Duration.ofDays(-1), Duration.ofDays(3_650));
  }

  /** Holds a certificate and its key. */
  public record Issued(X509Certificate certificate, PrivateKey key) {

    /** Returns the certificate as PEM. */
    public String certificatePem() {
      return pem("CERTIFICATE", encoded(certificate));
    }

    /** Returns the key as PEM. */
    public String keyPem() {
      return pem("PRIVATE KEY", key.getEncoded());
    }

    /** Writes both into one PKCS#12 store. */
    public Path store(Path file, String password) {
      try (var out = Files.newOutputStream(file)) {
        KeyStore store = KeyStore.getInstance("PKCS12");
        store.load(null, null);
        char[] word = password.toCharArray();
        store.setKeyEntry("own", key, word, new Certificate[] {certificate});
        store.store(out, word);
        return file;
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      } catch (GeneralSecurityException e) {
        throw new IllegalStateException(e);
      }
    }
  }

  /** Signs a certificate for hosts, names or addresses, that holds from yesterday on. */
  public Issued issue(String subject, String... hosts) {
    return issue(subject, Duration.ofDays(365), hosts);
  }

  /** Signs one that holds until so long from now; a negative span is one that is over. */
  public Issued issue(String subject, Duration until, String... hosts) {
    KeyPair pair = keys();
    X500Name of = new X500Name("CN=" + subject);
    return new Issued(sign(of, pair, false, Duration.ofDays(-10), until, hosts), pair.getPrivate());
  }

  /** Returns the authority's own certificate as PEM. */
  public String pem() {
    return pem("CERTIFICATE", encoded(own));
  }

  private X509Certificate sign(
      X500Name subject,
      KeyPair pair,
      boolean authority,
      Duration from,
      Duration until,
      String... hosts) {
    Instant now = Instant.now();
    X509v3CertificateBuilder builder =
        new JcaX509v3CertificateBuilder(
            name,
            new BigInteger(64, RANDOM),
            Date.from(now.plus(from)),
            Date.from(now.plus(until)),
            subject,
            pair.getPublic());
    try {
      builder.addExtension(Extension.basicConstraints, true, new BasicConstraints(authority));
      if (hosts.length > 0) {
        GeneralName[] names =
            Arrays.stream(hosts)
                .map(h -> new GeneralName(h.matches("[0-9.]+") ? 7 : 2, h))
                .toArray(GeneralName[]::new);
        builder.addExtension(Extension.subjectAlternativeName, false, new GeneralNames(names));
      }
      var signer = new JcaContentSignerBuilder("SHA256withRSA").build(keys.getPrivate());
      return new JcaX509CertificateConverter().getCertificate(builder.build(signer));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (GeneralSecurityException | OperatorCreationException e) {
      throw new IllegalStateException(e);
    }
  }

  private static KeyPair keys() {
    try {
      KeyPairGenerator generator = KeyPairGenerator.getInstance("RSA");
      generator.initialize(2048);
      return generator.generateKeyPair();
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException(e);
    }
  }

  private static byte[] encoded(X509Certificate certificate) {
    try {
      return certificate.getEncoded();
    } catch (GeneralSecurityException e) {
      throw new IllegalStateException(e);
    }
  }

  private static String pem(String what, byte[] der) {
    String base64 = Base64.getMimeEncoder(64, new byte[] {'\n'}).encodeToString(der);
    return "-----BEGIN " + what + "-----\n" + base64 + "\n-----END " + what + "-----\n";
  }
}
