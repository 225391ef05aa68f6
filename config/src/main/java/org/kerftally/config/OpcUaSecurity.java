package org.kerftally.config;

import java.util.Optional;

/**
 * Names how a link over OPC UA is secured. All but {@link #NONE} sign and encrypt every message.
 * Older policies than these are not offered: OPC 10000-7 calls them obsolete.
 */
public enum OpcUaSecurity {
  /** In clear. */
  NONE("none", null),
  /** The newest of those below that the device offers. */
  BEST("best", null),
  /** OPC 10000-7: Aes256_Sha256_RsaPss. */
  AES256_SHA256_RSAPSS("Aes256_Sha256_RsaPss", "Aes256_Sha256_RsaPss"),
  /** OPC 10000-7: Aes128_Sha256_RsaOaep. */
  AES128_SHA256_RSAOAEP("Aes128_Sha256_RsaOaep", "Aes128_Sha256_RsaOaep"),
  /** OPC 10000-7: Basic256Sha256. */
  BASIC256SHA256("Basic256Sha256", "Basic256Sha256");

  private final String word;
  private final Optional<String> policy;

  OpcUaSecurity(String word, @org.jspecify.annotations.Nullable String policy) {
    this.word = word;
    this.policy = Optional.ofNullable(policy);
  }

  /** Returns the word that stands for it in the file. */
  public String word() {
    return word;
  }

  /** Returns the standard's name of the policy; empty where none in particular is meant. */
  public Optional<String> policy() {
    return policy;
  }
}
