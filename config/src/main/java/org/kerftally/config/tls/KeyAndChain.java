package org.kerftally.config.tls;

import java.security.PrivateKey;
import java.security.cert.X509Certificate;
import java.util.List;

/**
 * Holds a private key and its certificate, issuers behind it.
 *
 * @param key the key; never printed
 * @param chain at least one, the key's own first
 */
public record KeyAndChain(PrivateKey key, List<X509Certificate> chain) {

  /** Copies the list. */
  public KeyAndChain {
    chain = List.copyOf(chain);
  }

  /** Returns the certificate's text alone: a key has none. */
  @Override
  public String toString() {
    return "a key for " + chain.get(0).getSubjectX500Principal().getName();
  }
}
