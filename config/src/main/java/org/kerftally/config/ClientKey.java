package org.kerftally.config;

import java.nio.file.Path;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Names a certificate and the private key that goes with it. Holds places, never a key.
 *
 * @param certificateFile the certificate in PEM, issuers behind it, or a PKCS#12 store ({@code
 *     .p12}, {@code .pfx}); absolute
 * @param keyFile the key in PEM (PKCS#8), or {@code null} beside a PKCS#12 store, which has it
 * @param keyPassword where the key's or store's password is, or {@code null} for none
 */
public record ClientKey(
    Path certificateFile, @Nullable Path keyFile, @Nullable SecretPlace keyPassword) {

  /** Tells whether certificate and key are in one PKCS#12 store, which its name says. */
  public boolean isStore() {
    return isStore(certificateFile);
  }

  static boolean isStore(Path file) {
    String name = file.toString().toLowerCase(Locale.ROOT);
    return name.endsWith(".p12") || name.endsWith(".pfx");
  }
}
