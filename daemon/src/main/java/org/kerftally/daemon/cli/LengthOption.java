package org.kerftally.daemon.cli;

import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthReader;
import org.kerftally.shared.length.LengthReading;
import org.kerftally.shared.length.LengthUnit;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** Reads a length given on the command line; a bare number is millimetres. */
final class LengthOption implements ITypeConverter<Length> {

  @Override
  public Length convert(String value) {
    LengthReading reading = LengthReader.read(value, LengthUnit.MM, false);
    if (reading instanceof LengthReading.Unreadable bad) {
      throw new TypeConversionException(bad.message() + ". " + bad.hint());
    }
    Length length = ((LengthReading.Read) reading).length();
    if (length.isNegative()) {
      throw new TypeConversionException("\"" + value + "\" is negative");
    }
    return length;
  }
}
