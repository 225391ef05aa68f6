package org.kerftally.protocol.wiring;

import java.math.BigInteger;
import java.time.Instant;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.Signal;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.SawState;
import org.kerftally.shared.length.Length;

/**
 * Makes a snapshot of the values of one reading, and trusts nothing in it.
 *
 * <p>Devices differ in the types they use: every integer type passes for a count or a code, every
 * numeric type for a position. A value that is not good, not of a fitting type or out of bounds
 * fails the whole snapshot with the signal's name: a station must not act on half a picture.
 *
 * <p>Threading: none; holds one reading's values.
 */
public final class ContractReader {

  /** The longest boot id taken, in characters: ids are made by counters, clocks or random bits. */
  public static final int MAX_BOOT_CHARS = 128;

  /** The longest fault text kept, in characters; the rest is cut off. */
  public static final int MAX_TEXT_CHARS = 500;

  /** The farthest position believed, in millimetres: no saw has a stop a kilometre away. */
  public static final double MAX_POSITION_MM = 1e6;

  /** The largest total believed, as over MQTT: a machine of one cut a second takes ages for it. */
  public static final long MAX_TOTAL = (1L << 53) - 1;

  /** Ours go on above it, and both sides have 32 bits for them. */
  public static final long MAX_SEQUENCE = (1L << 32) - 1;

  private static final Instant LATEST = Instant.parse("9999-12-31T23:59:59.999999999Z");

  private final Map<Signal, RawValue> values;

  private ContractReader(Map<Signal, RawValue> values) {
    this.values = values;
  }

  /**
   * Returns the snapshot.
   *
   * @param values one value for every signal the device has
   * @throws SignalFault when a value cannot be used, naming its signal
   */
  public static DeviceSnapshot read(Map<Signal, RawValue> values) throws SignalFault {
    return new ContractReader(values).snapshot();
  }

  private DeviceSnapshot snapshot() throws SignalFault {
    String boot = bootId(Signal.BOOT_ID);
    if (boot.isBlank()) {
      throw fault(Signal.BOOT_ID, "is empty; expected an id that is new at every power-up");
    }
    return new DeviceSnapshot(
        boot,
        count(Signal.CUT_COUNT),
        lastCut(),
        sequence(Signal.ACTIVE_SEQUENCE),
        position(Signal.POSITION_ACTUAL_VALUE),
        flag(Signal.TARGET_REACHED),
        flag(Signal.HOMING_ATTAINED),
        flag(Signal.ENABLED),
        flag(Signal.REMOTE_ALLOWED),
        SawState.ofCode(integer(Signal.SAW_STATE)),
        faultCode(),
        faultText(),
        panel());
  }

  private @Nullable LastCut lastCut() throws SignalFault {
    String boot = bootId(Signal.LAST_CUT_BOOT);
    if (boot.isBlank()) {
      return null;
    }
    long count = count(Signal.LAST_CUT_COUNT);
    if (count == 0) {
      throw fault(Signal.LAST_CUT_COUNT, "is 0 although LastCutBoot names a boot");
    }
    return new LastCut(
        boot,
        count,
        sequence(Signal.LAST_CUT_SEQUENCE),
        position(Signal.LAST_CUT_POSITION),
        time(Signal.LAST_CUT_TIME));
  }

  private OperatorPanel panel() throws SignalFault {
    return new OperatorPanel(
        countOrZero(Signal.STICK_LOADED_COUNT),
        measured(Signal.STICK_LENGTH),
        countOrZero(Signal.REJECT_COUNT),
        countOrZero(Signal.DEFECT_COUNT),
        measured(Signal.DEFECT_POSITION),
        countOrZero(Signal.ACKNOWLEDGE_COUNT),
        values.containsKey(Signal.PAUSED) && flag(Signal.PAUSED));
  }

  private int faultCode() throws SignalFault {
    long code = integer(Signal.FAULT_CODE);
    if (code < Integer.MIN_VALUE || code > Integer.MAX_VALUE) {
      throw fault(Signal.FAULT_CODE, "is " + code + "; expected a number of 32 bits");
    }
    return (int) code;
  }

  private String faultText() throws SignalFault {
    if (!values.containsKey(Signal.FAULT_TEXT)) {
      return "";
    }
    return Words.onOneLine(text(Signal.FAULT_TEXT), MAX_TEXT_CHARS);
  }

  private long countOrZero(Signal signal) throws SignalFault {
    return values.containsKey(signal) ? count(signal) : 0;
  }

  private long count(Signal signal) throws SignalFault {
    return whole(signal, MAX_TOTAL, "a total");
  }

  private long sequence(Signal signal) throws SignalFault {
    return whole(signal, MAX_SEQUENCE, "a sequence number");
  }

  private long whole(Signal signal, long most, String what) throws SignalFault {
    long number = integer(signal);
    if (number < 0 || number > most) {
      throw fault(signal, "is " + number + "; expected " + what + " from 0 to " + most);
    }
    return number;
  }

  private long integer(Signal signal) throws SignalFault {
    Object value = good(signal);
    if (value instanceof Number number && !isFraction(number)) {
      if (number instanceof BigInteger big && big.bitLength() >= Long.SIZE) {
        throw fault(signal, "is " + number + "; more than a total can be");
      }
      return number.longValue();
    }
    throw fault(signal, "is " + shown(value) + "; expected an integer type");
  }

  private static boolean isFraction(Number number) {
    return number instanceof Double || number instanceof Float;
  }

  private Length position(Signal signal) throws SignalFault {
    Length position = lengthOrNull(signal);
    if (position == null) {
      throw fault(signal, "is not a number; expected millimetres");
    }
    return position;
  }

  private @Nullable Length measured(Signal signal) throws SignalFault {
    Length length = values.containsKey(signal) ? lengthOrNull(signal) : null;
    if (length != null && length.isNegative()) {
      throw fault(signal, "is " + length + "; expected a length, or NaN where none is measured");
    }
    return length;
  }

  private @Nullable Length lengthOrNull(Signal signal) throws SignalFault {
    Object value = good(signal);
    if (value instanceof Length length) {
      return length;
    }
    if (!(value instanceof Number number)) {
      throw fault(signal, "is " + shown(value) + "; expected millimetres as a number");
    }
    // A 32-bit value is taken as the decimal it prints as: 505.02 was meant, not 505.0199890137.
    double mm =
        number instanceof Float single
            ? Double.parseDouble(single.toString())
            : number.doubleValue();
    if (Double.isNaN(mm)) {
      return null;
    }
    if (Math.abs(mm) > MAX_POSITION_MM) {
      throw fault(signal, "is " + mm + " mm; no stop reaches that far");
    }
    return Length.ofReadingMm(mm);
  }

  private boolean flag(Signal signal) throws SignalFault {
    Object value = good(signal);
    if (value instanceof Boolean flag) {
      return flag;
    }
    throw fault(signal, "is " + shown(value) + "; expected a Boolean");
  }

  private String bootId(Signal signal) throws SignalFault {
    String boot = text(signal);
    if (boot.length() > MAX_BOOT_CHARS) {
      throw fault(
          signal, "has " + boot.length() + " characters; expected at most " + MAX_BOOT_CHARS);
    }
    if (!Words.areOnOneLine(boot)) {
      throw fault(signal, "has a control character; expected printable characters");
    }
    return boot;
  }

  private String text(Signal signal) throws SignalFault {
    Object value = good(signal);
    if (value == null || value instanceof String) {
      return value == null ? "" : (String) value;
    }
    throw fault(signal, "is " + shown(value) + "; expected a String");
  }

  private @Nullable Instant time(Signal signal) throws SignalFault {
    if (!values.containsKey(signal)) {
      return null;
    }
    Object value = good(signal);
    if (value == null) {
      return null;
    }
    if (!(value instanceof Instant at)) {
      throw fault(signal, "is " + shown(value) + "; expected a DateTime");
    }
    return at.isAfter(LATEST) ? null : at;
  }

  private @Nullable Object good(Signal signal) throws SignalFault {
    RawValue value = values.get(signal);
    if (value == null) {
      throw fault(signal, "was not read");
    }
    if (value.bad() != null) {
      throw fault(signal, "is not good: " + value.bad() + "; check it at the device");
    }
    return value.value();
  }

  private static SignalFault fault(Signal signal, String what) {
    return new SignalFault(signal.contractName(), what);
  }

  static String shown(@Nullable Object value) {
    if (value == null) {
      return "null";
    }
    return value.getClass().getSimpleName() + " " + Words.brief(String.valueOf(value));
  }
}
