package org.kerftally.config.tls;

import java.net.Socket;
import java.security.cert.CertificateException;
import java.security.cert.CertificateExpiredException;
import java.security.cert.CertificateNotYetValidException;
import java.security.cert.X509Certificate;
import java.time.ZoneOffset;
import javax.net.ssl.SSLEngine;
import javax.net.ssl.X509ExtendedTrustManager;

/**
 * Judges the other end's certificate as the Java runtime does, and says what is wrong with it in
 * words for the person who has to mend it: outdated, from nobody believed, or of another host.
 */
final class BrokerTrust extends X509ExtendedTrustManager {

  private static final int MAX_NAME_CHARS = 120;

  private final X509ExtendedTrustManager judge;
  private final String believed;

  /**
   * Judges by another.
   *
   * @param believed who is believed, in words
   */
  BrokerTrust(X509ExtendedTrustManager judge, String believed) {
    this.judge = judge;
    this.believed = believed;
  }

  @Override
  public void checkServerTrusted(X509Certificate[] chain, String type, Socket socket)
      throws CertificateException {
    checkServerTrusted(chain, type);
    try {
      judge.checkServerTrusted(chain, type, socket);
    } catch (CertificateException e) {
      throw new CertificateException(
          "its certificate is that of another host ("
              + e.getMessage()
              + "); write the host's name as the certificate has it, or have one made for this"
              + " name");
    }
  }

  @Override
  public void checkServerTrusted(X509Certificate[] chain, String type) throws CertificateException {
    X509Certificate own = chain[0];
    try {
      own.checkValidity();
    } catch (CertificateExpiredException e) {
      throw new CertificateException(
          "its certificate expired on " + day(own.getNotAfter()) + "; have it renewed");
    } catch (CertificateNotYetValidException e) {
      throw new CertificateException(
          "its certificate holds from "
              + day(own.getNotBefore())
              + " only; check the clocks of both machines");
    }
    try {
      judge.checkServerTrusted(chain, type);
    } catch (CertificateException e) {
      throw new CertificateException(
          "its certificate, SHA-256 "
              + Fingerprint.of(own)
              + ", issued by "
              + name(own)
              + ", does not come from "
              + believed
              + "; if it is the right broker, put its authority's certificate there");
    }
  }

  private static String day(java.util.Date date) {
    return date.toInstant().atZone(ZoneOffset.UTC).toLocalDate().toString();
  }

  private static String name(X509Certificate certificate) {
    String name =
        certificate.getIssuerX500Principal().getName().replaceAll("[^ -~\\p{L}\\p{N}]", "?");
    return '"' + name.substring(0, Math.min(MAX_NAME_CHARS, name.length())) + '"';
  }

  @Override
  public void checkServerTrusted(X509Certificate[] chain, String type, SSLEngine engine)
      throws CertificateException {
    throw new CertificateException("not used with engines");
  }

  @Override
  public void checkClientTrusted(X509Certificate[] chain, String type, Socket socket)
      throws CertificateException {
    throw new CertificateException("this side is never the server");
  }

  @Override
  public void checkClientTrusted(X509Certificate[] chain, String type, SSLEngine engine)
      throws CertificateException {
    throw new CertificateException("this side is never the server");
  }

  @Override
  public void checkClientTrusted(X509Certificate[] chain, String type) throws CertificateException {
    throw new CertificateException("this side is never the server");
  }

  @Override
  public X509Certificate[] getAcceptedIssuers() {
    return judge.getAcceptedIssuers();
  }
}
