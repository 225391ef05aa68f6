package org.kerftally.daemon.peers;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.KeyPair;
import java.security.cert.X509Certificate;
import java.util.Base64;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateBuilder;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateGenerator;

/**
 * A certificate signed by itself, as OPC UA applications show one to another, made for one test.
 *
 * @param keys whose it is
 * @param certificate what is shown
 * @param file the certificate as PEM
 * @param keyFile the private key as PEM
 */
public record PeerCertificate(KeyPair keys, X509Certificate certificate, Path file, Path keyFile) {

  private static final int KEY_BITS = 2048;

  /** Makes one for an application, in {@code NAME.pem} and {@code NAME.key}. */
  public static PeerCertificate make(Path folder, String name, String applicationUri)
      throws IOException {
    try {
      KeyPair keys = SelfSignedCertificateGenerator.generateRsaKeyPair(KEY_BITS);
      X509Certificate certificate =
          new SelfSignedCertificateBuilder(keys)
              .setCommonName(name)
              .setApplicationUri(applicationUri)
              .addIpAddress("127.0.0.1")
              .build();
      return new PeerCertificate(
          keys,
          certificate,
          pem(folder.resolve(name + ".pem"), "CERTIFICATE", certificate.getEncoded()),
          pem(folder.resolve(name + ".key"), "PRIVATE KEY", keys.getPrivate().getEncoded()));
    } catch (IOException e) {
      throw e;
    } catch (Exception e) {
      throw new IOException("no certificate can be made", e);
    }
  }

  private static Path pem(Path file, String what, byte[] der) throws IOException {
    String base64 = Base64.getMimeEncoder(64, new byte[] {'\n'}).encodeToString(der);
    return Files.writeString(
        file, "-----BEGIN " + what + "-----\n" + base64 + "\n-----END " + what + "-----\n");
  }

  /**
   * Returns the options that have an OPC UA device show this one.
   *
   * @param trusted the client's certificate, PEM or DER, or a folder of such files
   * @param user who is let in
   * @param passwordFile the file whose first line is the user's password
   */
  public String[] secure(Path trusted, String user, Path passwordFile) {
    return new String[] {
      "--security",
      "--certificate",
      file.toString(),
      "--key",
      keyFile.toString(),
      "--trust",
      trusted.toString(),
      "--user",
      user,
      "--password-file",
      passwordFile.toString()
    };
  }
}
