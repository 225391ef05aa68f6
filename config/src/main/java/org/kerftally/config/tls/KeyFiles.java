package org.kerftally.config.tls;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.Key;
import java.security.KeyFactory;
import java.security.KeyStore;
import java.security.PrivateKey;
import java.security.Signature;
import java.security.cert.Certificate;
import java.security.cert.CertificateException;
import java.security.cert.CertificateFactory;
import java.security.cert.X509Certificate;
import java.security.spec.PKCS8EncodedKeySpec;
import java.util.ArrayList;
import java.util.Base64;
import java.util.Collections;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.crypto.Cipher;
import javax.crypto.EncryptedPrivateKeyInfo;
import javax.crypto.SecretKeyFactory;
import javax.crypto.spec.PBEKeySpec;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.ClientKey;
import org.kerftally.config.SecretPlace;

/**
 * Reads certificates and private keys: PEM (RFC 7468), DER for certificates, PKCS#12 stores.
 *
 * <p>Every failure is an {@link IOException} whose text names the file and what to do, and nothing
 * of what is in it. Stateless; safe for any thread.
 */
public final class KeyFiles {

  /** A system's whole list of authorities is a quarter of this. */
  static final int MAX_FILE_BYTES = 1 << 20;

  private static final Pattern PEM_KEY =
      Pattern.compile(
          "-----BEGIN ((?:ENCRYPTED |RSA |EC )?PRIVATE KEY)-----([A-Za-z0-9+/=\\s]{1,65536})"
              + "-----END \\1-----");
  private static final List<String> ALGORITHMS = List.of("RSA", "EC");

  private KeyFiles() {}

  /** Reads certificates in PEM or DER, at least one. */
  public static List<X509Certificate> certificates(Path file) throws IOException {
    return certificates(bytes(file), file);
  }

  private static List<X509Certificate> certificates(byte[] bytes, Path file) throws IOException {
    List<X509Certificate> certificates = new ArrayList<>();
    try {
      CertificateFactory factory = CertificateFactory.getInstance("X.509");
      for (Certificate c : factory.generateCertificates(new ByteArrayInputStream(bytes))) {
        certificates.add((X509Certificate) c);
      }
    } catch (CertificateException e) {
      throw new IOException(file + " holds something that is no certificate; expected PEM", e);
    }
    if (certificates.isEmpty()) {
      throw new IOException(file + " holds no certificate; expected PEM");
    }
    return certificates;
  }

  /** Reads a certificate with its key, and checks that they belong together. */
  public static KeyAndChain load(ClientKey place) throws IOException {
    char[] password = password(place.keyPassword());
    Path keyFile = place.keyFile();
    KeyAndChain loaded;
    if (keyFile == null) {
      loaded = store(place.certificateFile(), password, place.keyPassword());
    } else {
      List<X509Certificate> chain = certificates(place.certificateFile());
      loaded = new KeyAndChain(pemKey(keyFile, password, place.keyPassword()), chain);
    }
    X509Certificate own = loaded.chain().get(0);
    if (!belongTogether(loaded.key(), own)) {
      throw new IOException(
          "the key in "
              + (keyFile == null ? place.certificateFile() : keyFile)
              + " is not that of the first certificate in "
              + place.certificateFile()
              + "; name the pair that was made together");
    }
    return loaded;
  }

  private static char @Nullable [] password(@Nullable SecretPlace place) throws IOException {
    return place == null ? null : place.read().toCharArray();
  }

  private static KeyAndChain store(
      Path file, char @Nullable [] password, @Nullable SecretPlace place) throws IOException {
    byte[] bytes = bytes(file);
    try {
      KeyStore store = KeyStore.getInstance("PKCS12");
      char[] word = password == null ? new char[0] : password;
      store.load(new ByteArrayInputStream(bytes), word);
      for (String alias : Collections.list(store.aliases())) {
        Key key = store.getKey(alias, word);
        Certificate[] chain = store.getCertificateChain(alias);
        if (key instanceof PrivateKey own && chain != null && chain.length > 0) {
          List<X509Certificate> all = new ArrayList<>();
          for (Certificate c : chain) {
            all.add((X509Certificate) c);
          }
          return new KeyAndChain(own, all);
        }
      }
    } catch (GeneralSecurityException | IOException e) {
      throw cannotOpen(file, place, e);
    }
    throw new IOException(file + " holds no private key with its certificate");
  }

  private static PrivateKey pemKey(
      Path file, char @Nullable [] password, @Nullable SecretPlace place) throws IOException {
    Matcher pem = PEM_KEY.matcher(new String(bytes(file), StandardCharsets.ISO_8859_1));
    if (!pem.find()) {
      throw new IOException(file + " holds no private key in PEM");
    }
    if (pem.group(1).startsWith("RSA") || pem.group(1).startsWith("EC")) {
      throw new IOException(
          file + " holds a key in an older form; convert it to PKCS#8 (BEGIN PRIVATE KEY)");
    }
    try {
      byte[] der = Base64.getMimeDecoder().decode(pem.group(2));
      return pem.group(1).startsWith("ENCRYPTED")
          ? key(opened(der, password))
          : key(new PKCS8EncodedKeySpec(der));
    } catch (GeneralSecurityException | IOException | IllegalArgumentException e) {
      throw cannotOpen(file, place, e);
    }
  }

  private static PKCS8EncodedKeySpec opened(byte[] der, char @Nullable [] password)
      throws IOException, GeneralSecurityException {
    EncryptedPrivateKeyInfo info = new EncryptedPrivateKeyInfo(der);
    // The parameters name the cipher of a PBES2 key (RFC 8018, 6.2); its identifier alone does not.
    String algorithm =
        info.getAlgParameters() == null ? info.getAlgName() : info.getAlgParameters().toString();
    char[] word = password == null ? new char[0] : password;
    Cipher cipher = Cipher.getInstance(algorithm);
    cipher.init(
        Cipher.DECRYPT_MODE,
        SecretKeyFactory.getInstance(algorithm).generateSecret(new PBEKeySpec(word)),
        info.getAlgParameters());
    return info.getKeySpec(cipher);
  }

  private static PrivateKey key(PKCS8EncodedKeySpec spec) throws GeneralSecurityException {
    GeneralSecurityException last = new GeneralSecurityException("no algorithm");
    for (String algorithm : ALGORITHMS) {
      try {
        return KeyFactory.getInstance(algorithm).generatePrivate(spec);
      } catch (GeneralSecurityException e) {
        last = e;
      }
    }
    throw last;
  }

  private static IOException cannotOpen(Path file, @Nullable SecretPlace place, Exception why) {
    String mend =
        place == null
            ? "; if it has a password, say where it is under key-password-file"
            : "; check the password in the " + place;
    return new IOException(file + " cannot be opened" + mend, why);
  }

  private static boolean belongTogether(PrivateKey key, X509Certificate certificate) {
    try {
      String algorithm = key.getAlgorithm().equals("RSA") ? "SHA256withRSA" : "SHA256withECDSA";
      byte[] sample = "one pair".getBytes(StandardCharsets.US_ASCII);
      Signature signing = Signature.getInstance(algorithm);
      signing.initSign(key);
      signing.update(sample);
      Signature verifying = Signature.getInstance(algorithm);
      verifying.initVerify(certificate.getPublicKey());
      verifying.update(sample);
      return verifying.verify(signing.sign());
    } catch (GeneralSecurityException e) {
      return false;
    }
  }

  private static byte[] bytes(Path file) throws IOException {
    byte[] bytes;
    try (InputStream in = Files.newInputStream(file)) {
      bytes = in.readNBytes(MAX_FILE_BYTES + 1);
    } catch (IOException e) {
      throw new IOException(
          file + " cannot be read (" + e.getClass().getSimpleName() + "); check path and rights",
          e);
    }
    if (bytes.length > MAX_FILE_BYTES) {
      throw new IOException(file + " is over " + MAX_FILE_BYTES + " bytes; is it the right one?");
    }
    return bytes;
  }
}
