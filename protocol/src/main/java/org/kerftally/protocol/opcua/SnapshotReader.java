package org.kerftally.protocol.opcua;

import java.math.BigInteger;
import java.util.EnumMap;
import java.util.Map;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.DateTime;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.ULong;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.Signal;
import org.kerftally.protocol.wiring.ContractReader;
import org.kerftally.protocol.wiring.RawValue;
import org.kerftally.protocol.wiring.SignalFault;
import org.kerftally.shared.device.DeviceSnapshot;

/** Makes a snapshot of what one Read returned, by {@link ContractReader}, which trusts nothing. */
final class SnapshotReader {

  private SnapshotReader() {}

  /**
   * Returns the snapshot of a device that keeps the contract.
   *
   * @param values one value for every signal the device has
   * @throws LinkFault when a value cannot be used, naming its signal
   */
  static DeviceSnapshot read(Map<Signal, DataValue> values) throws LinkFault {
    Map<Signal, RawValue> raw = new EnumMap<>(Signal.class);
    values.forEach((signal, value) -> raw.put(signal, raw(value)));
    try {
      return ContractReader.read(raw);
    } catch (SignalFault e) {
      throw new LinkFault(e.reason(), e);
    }
  }

  /** Returns a value in the types that all protocols share. */
  static RawValue raw(@Nullable DataValue value) {
    if (value == null) {
      return RawValue.bad("no answer");
    }
    StatusCode status = value.statusCode();
    return status.isGood() ? RawValue.of(plain(value.value().value())) : RawValue.bad(name(status));
  }

  private static @Nullable Object plain(@Nullable Object value) {
    if (value instanceof LocalizedText localized) {
      return localized.text() == null ? "" : localized.text();
    }
    if (value instanceof DateTime time) {
      return time.isNull() || !time.isValid() ? null : time.getJavaInstant();
    }
    if (value instanceof ULong big && big.longValue() < 0) {
      return new BigInteger(big.toString());
    }
    return value;
  }

  /** Returns a status by its name in the standard, by its number when it has none. */
  static String name(StatusCode status) {
    return StatusCodes.lookup(status.value())
        .map(found -> found[0])
        .orElseGet(() -> "0x" + Long.toHexString(status.value()));
  }
}
