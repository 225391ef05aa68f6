package org.kerftally.protocol.certificates;

import java.io.IOException;
import java.net.InetAddress;
import java.net.UnknownHostException;
import java.security.KeyPair;
import java.time.Period;
import java.util.List;
import java.util.Locale;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateBuilder;
import org.eclipse.milo.opcua.stack.core.util.SelfSignedCertificateGenerator;
import org.kerftally.config.tls.KeyAndChain;

/**
 * Makes the certificate that a site shows to its devices: signed by itself, for RSA of 2048 bits,
 * as every policy from Basic256Sha256 on takes it (OPC 10000-7). It names the application as {@code
 * urn:HOST:kerftally}, which a session has to repeat (OPC 10000-4, 6.1.3).
 *
 * <p>It holds for ten years: each device has to be told to trust it, and a saw that stops on a date
 * that nobody remembers helps nobody.
 */
final class OwnCertificate {

  private static final int KEY_BITS = 2048;
  private static final Period VALIDITY = Period.ofYears(10);

  private OwnCertificate() {}

  static KeyAndChain make() throws IOException {
    String host = host();
    try {
      KeyPair pair = SelfSignedCertificateGenerator.generateRsaKeyPair(KEY_BITS);
      return new KeyAndChain(
          pair.getPrivate(),
          List.of(
              new SelfSignedCertificateBuilder(pair)
                  .setCommonName("Kerftally on " + host)
                  .setApplicationUri("urn:" + host + ":kerftally")
                  .addDnsName(host)
                  .setValidityPeriod(VALIDITY)
                  .build()));
    } catch (Exception e) {
      throw new IOException("no certificate of our own can be made: " + e.getMessage(), e);
    }
  }

  private static String host() {
    try {
      String name = InetAddress.getLocalHost().getHostName().toLowerCase(Locale.ROOT);
      return name.matches("[a-z0-9._-]{1,63}") ? name : "localhost";
    } catch (UnknownHostException e) {
      return "localhost";
    }
  }
}
