package org.kerftally.config;

/** States as whom a link over OPC UA speaks to the device. */
public sealed interface OpcUaIdentity {

  /**
   * As a user with a password.
   *
   * @param user the user's name at the device
   * @param password where the password is
   */
  record User(String user, SecretPlace password) implements OpcUaIdentity {}

  /** As whom a certificate names. */
  record Certificate(ClientKey key) implements OpcUaIdentity {}
}
