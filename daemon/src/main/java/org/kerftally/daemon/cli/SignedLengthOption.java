package org.kerftally.daemon.cli;

import org.kerftally.shared.length.Length;
import picocli.CommandLine.ITypeConverter;

/** Reads a length with a direction: {@code 2 mm} or {@code -2 mm}. */
final class SignedLengthOption implements ITypeConverter<Length> {

  private final LengthOption unsigned = new LengthOption();

  @Override
  public Length convert(String value) {
    String text = value.strip();
    if (text.startsWith("-")) {
      return unsigned.convert(text.substring(1).strip()).times(-1);
    }
    return unsigned.convert(text.startsWith("+") ? text.substring(1).strip() : text);
  }
}
