package org.kerftally.config.tls;

import java.io.EOFException;
import java.io.IOException;
import java.net.Socket;
import java.net.SocketException;
import java.net.SocketTimeoutException;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.X509Certificate;
import java.util.List;
import javax.net.ssl.KeyManager;
import javax.net.ssl.KeyManagerFactory;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLException;
import javax.net.ssl.SSLParameters;
import javax.net.ssl.SSLSocket;
import javax.net.ssl.TrustManager;
import javax.net.ssl.TrustManagerFactory;
import javax.net.ssl.X509ExtendedTrustManager;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.ClientKey;
import org.kerftally.config.MqttTlsConfig;

/**
 * Lays TLS over a connected socket, as a client, and checks whom it has reached: the certificate's
 * authority, its dates and its host name (RFC 9110, 4.3.4; RFC 6125). TLS 1.2 and 1.3 alone.
 *
 * <p>Certificates and keys are read from their files anew for each connection, so that renewed ones
 * are taken up without a restart. Failures are {@link IOException}s with words for a person; {@link
 * #explain} finds them in what a library makes of them. Safe for any thread.
 */
public final class TlsLayer {

  private static final String[] PROTOCOLS = {"TLSv1.3", "TLSv1.2"};
  private static final int MAX_CAUSES = 10;

  private final MqttTlsConfig config;

  /** Makes a layer; nothing is read yet. */
  public TlsLayer(MqttTlsConfig config) {
    this.config = config;
  }

  /**
   * Shakes hands over a connected socket.
   *
   * @param host the name the certificate has to hold, an address without brackets
   * @param timeoutMillis how long each step may take
   */
  public SSLSocket over(Socket socket, String host, int port, int timeoutMillis)
      throws IOException {
    SSLSocket secured =
        (SSLSocket) context().getSocketFactory().createSocket(socket, host, port, true);
    SSLParameters parameters = secured.getSSLParameters();
    parameters.setEndpointIdentificationAlgorithm("HTTPS");
    parameters.setProtocols(PROTOCOLS);
    secured.setSSLParameters(parameters);
    secured.setSoTimeout(timeoutMillis);
    try {
      secured.startHandshake();
    } catch (SocketTimeoutException e) {
      throw new IOException(
          "did not answer in TLS within " + timeoutMillis + " ms; check the port");
    } catch (IOException e) {
      Throwable root = root(e);
      if (root instanceof EOFException || root instanceof SocketException) {
        throw new IOException(
            "ended the connection in the TLS handshake; check the port, it may speak in clear");
      }
      throw e;
    }
    return secured;
  }

  private SSLContext context() throws IOException {
    try {
      SSLContext context = SSLContext.getInstance("TLS");
      context.init(keys(), new TrustManager[] {trust()}, null);
      return context;
    } catch (GeneralSecurityException e) {
      throw new IOException("the certificates cannot be used: " + e.getMessage(), e);
    }
  }

  private X509ExtendedTrustManager trust() throws IOException, GeneralSecurityException {
    KeyStore anchors = null;
    String believed = "an authority that Java believes; name yours under tls.ca-file";
    if (config.caFile() != null) {
      anchors = KeyStore.getInstance("PKCS12");
      anchors.load(null, null);
      List<X509Certificate> authorities = KeyFiles.certificates(config.caFile());
      for (int i = 0; i < authorities.size(); i++) {
        anchors.setCertificateEntry("ca" + i, authorities.get(i));
      }
      believed = "an authority in " + config.caFile();
    }
    TrustManagerFactory factory =
        TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
    factory.init(anchors);
    for (TrustManager manager : factory.getTrustManagers()) {
      if (manager instanceof X509ExtendedTrustManager judge) {
        return new BrokerTrust(judge, believed);
      }
    }
    throw new GeneralSecurityException("the Java runtime judges no certificates");
  }

  private KeyManager @Nullable [] keys() throws IOException, GeneralSecurityException {
    ClientKey place = config.clientKey();
    if (place == null) {
      return null;
    }
    KeyAndChain own = KeyFiles.load(place);
    KeyStore store = KeyStore.getInstance("PKCS12");
    store.load(null, null);
    char[] none = new char[0];
    store.setKeyEntry("own", own.key(), none, own.chain().toArray(X509Certificate[]::new));
    KeyManagerFactory factory =
        KeyManagerFactory.getInstance(KeyManagerFactory.getDefaultAlgorithm());
    factory.init(store, none);
    return factory.getKeyManagers();
  }

  /**
   * Returns what a failed connection over TLS means, in words, or {@code null} where it is not
   * about TLS.
   */
  public @Nullable String explain(Throwable failure) {
    Throwable cause = failure;
    for (int depth = 0; cause != null && depth < MAX_CAUSES; depth++) {
      if (cause instanceof java.security.cert.CertificateException) {
        return cause.getMessage();
      }
      if (cause instanceof SSLException && root(cause) == cause) {
        return words(String.valueOf(cause.getMessage()));
      }
      cause = cause.getCause();
    }
    return null;
  }

  private static Throwable root(Throwable failure) {
    Throwable cause = failure;
    for (int depth = 0; cause.getCause() != null && depth < MAX_CAUSES; depth++) {
      cause = cause.getCause();
    }
    return cause;
  }

  // The alerts are those of RFC 8446, 6.2, as the Java runtime writes them.
  private String words(String message) {
    if (message.contains("Unsupported or unrecognized SSL message")) {
      return "does not speak TLS on this port; check the port (8883 is the registered one)";
    }
    if (!message.contains("fatal alert")) {
      return "the TLS connection failed: " + message;
    }
    String alert = message.substring(message.lastIndexOf(' ') + 1);
    if (!alert.matches(".*(certificate|unknown_ca|handshake_failure|access_denied).*")) {
      return "ended the TLS connection with the alert " + alert;
    }
    return config.clientKey() == null
        ? "asks for a certificate (alert "
            + alert
            + "); name one under tls.certificate-file and tls.key-file"
        : "refused the certificate in "
            + config.clientKey().certificateFile()
            + " (alert "
            + alert
            + "); show one that its authority has signed and that has not expired";
  }
}
