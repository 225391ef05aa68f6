package org.kerftally.config;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.function.UnaryOperator;
import org.jspecify.annotations.Nullable;

/**
 * Names where a secret is kept: in a file's first line, or in an environment variable. Holds the
 * place, never the secret, so that it may be printed and logged.
 *
 * <p>The secret is read each time it is needed, so that a changed one is taken up without a
 * restart.
 *
 * @param file the file, absolute, or {@code null}
 * @param variable the environment variable's name, or {@code null}; exactly one of the two is there
 */
public record SecretPlace(@Nullable Path file, @Nullable String variable) {

  /** No password or token is nearly as long. */
  public static final int MAX_FILE_BYTES = 4096;

  /** Refuses none and both. */
  public SecretPlace {
    if ((file == null) == (variable == null)) {
      throw new IllegalArgumentException("a secret has one place: a file or a variable");
    }
  }

  /** Returns the place where one of the two is there, {@code null} for none. */
  public static @Nullable SecretPlace of(@Nullable Path file, @Nullable String variable) {
    return file == null && variable == null ? null : new SecretPlace(file, variable);
  }

  /**
   * Reads the secret.
   *
   * @throws IOException with a text that names the place and what to do, never the secret
   */
  public String read() throws IOException {
    return read(System::getenv);
  }

  /** Reads the secret with another environment. */
  String read(UnaryOperator<@Nullable String> environment) throws IOException {
    if (file != null) {
      return fromFile(file);
    }
    String value = environment.apply(variable);
    if (value == null || value.isEmpty()) {
      throw new IOException(
          "the environment variable "
              + variable
              + " is empty or not set; set it for the service's user");
    }
    return value;
  }

  private static String fromFile(Path file) throws IOException {
    byte[] bytes;
    try (InputStream in = Files.newInputStream(file)) {
      bytes = in.readNBytes(MAX_FILE_BYTES + 1);
    } catch (IOException e) {
      throw new IOException(
          "the file " + file + " cannot be read; write the secret into its first line", e);
    }
    if (bytes.length > MAX_FILE_BYTES) {
      throw new IOException(
          "the file " + file + " is over " + MAX_FILE_BYTES + " bytes; is it the right one?");
    }
    String line = new String(bytes, StandardCharsets.UTF_8).lines().findFirst().orElse("");
    if (line.isEmpty()) {
      throw new IOException(
          "the first line of the file " + file + " is empty; write the secret there");
    }
    return line;
  }

  /** Returns the place in words. */
  @Override
  public String toString() {
    return file != null ? "file " + file : "environment variable " + variable;
  }
}
