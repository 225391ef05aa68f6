package org.kerftally.protocol.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ubyte;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ulong;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ushort;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.RoundingMode;
import java.util.Arrays;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.jspecify.annotations.Nullable;

/**
 * Names the built-in types of OPC UA that hold one flag, number or text (OPC UA part 6, table 1),
 * and makes values of them.
 */
enum PlainType {
  BOOLEAN("Boolean", 1, null, null),
  SBYTE("SByte", 2, "-128", "127"),
  BYTE("Byte", 3, "0", "255"),
  INT16("Int16", 4, "-32768", "32767"),
  UINT16("UInt16", 5, "0", "65535"),
  INT32("Int32", 6, "-2147483648", "2147483647"),
  UINT32("UInt32", 7, "0", "4294967295"),
  INT64("Int64", 8, "-9223372036854775808", "9223372036854775807"),
  UINT64("UInt64", 9, "0", "18446744073709551615"),
  FLOAT("Float", 10, null, null),
  DOUBLE("Double", 11, null, null),
  STRING("String", 12, null, null);

  private final String word;
  private final int id;
  private final @Nullable String least;
  private final @Nullable String most;

  PlainType(String word, int id, @Nullable String least, @Nullable String most) {
    this.word = word;
    this.id = id;
    this.least = least;
    this.most = most;
  }

  /** Returns the name in the standard. */
  String word() {
    return word;
  }

  /** Returns the type of a name, or {@code null}. */
  static @Nullable PlainType named(String word) {
    return Arrays.stream(values()).filter(t -> t.word.equals(word)).findFirst().orElse(null);
  }

  /** Returns the type of a number in the standard, or {@code null} for any other type. */
  static @Nullable PlainType of(int id) {
    return Arrays.stream(values()).filter(t -> t.id == id).findFirst().orElse(null);
  }

  /** Tells whether it holds a number. */
  boolean isNumber() {
    return this != BOOLEAN && this != STRING;
  }

  /** Returns a flag; a number is 1 or 0. */
  Variant flag(boolean on) {
    return switch (this) {
      case BOOLEAN -> Variant.ofBoolean(on);
      case STRING -> Variant.ofString(on ? "true" : "false");
      default -> number(on ? BigDecimal.ONE : BigDecimal.ZERO);
    };
  }

  /**
   * Returns a number, rounded half to even where the type is whole.
   *
   * @throws IllegalArgumentException when the type cannot hold it
   */
  Variant number(BigDecimal number) {
    if (this == DOUBLE) {
      return Variant.ofDouble(number.doubleValue());
    }
    if (this == FLOAT) {
      return Variant.ofFloat(number.floatValue());
    }
    if (this == STRING) {
      return Variant.ofString(number.toPlainString());
    }
    BigInteger whole = number.setScale(0, RoundingMode.HALF_EVEN).toBigIntegerExact();
    if (least == null
        || most == null
        || whole.compareTo(new BigInteger(least)) < 0
        || whole.compareTo(new BigInteger(most)) > 0) {
      throw new IllegalArgumentException(word + " cannot hold " + whole);
    }
    long value = whole.longValue();
    return switch (this) {
      case SBYTE -> Variant.ofSByte((byte) value);
      case BYTE -> Variant.ofByte(ubyte((short) value));
      case INT16 -> Variant.ofInt16((short) value);
      case UINT16 -> Variant.ofUInt16(ushort((int) value));
      case INT32 -> Variant.ofInt32((int) value);
      case UINT32 -> Variant.ofUInt32(uint(value));
      case INT64 -> Variant.ofInt64(value);
      case UINT64 -> Variant.ofUInt64(ulong(value));
      default -> throw new IllegalArgumentException(word + " holds no number");
    };
  }
}
