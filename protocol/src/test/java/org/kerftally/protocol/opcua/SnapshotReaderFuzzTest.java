package org.kerftally.protocol.opcua;

import static org.assertj.core.api.Assertions.assertThat;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ubyte;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ulong;
import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ushort;

import com.code_intelligence.jazzer.api.FuzzedDataProvider;
import com.code_intelligence.jazzer.junit.FuzzTest;
import java.time.Instant;
import java.util.EnumMap;
import java.util.Map;
import java.util.UUID;
import java.util.concurrent.TimeUnit;
import org.eclipse.milo.opcua.stack.core.types.builtin.ByteString;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.DateTime;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.builtin.Matrix;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.QualifiedName;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Timeout;
import org.kerftally.config.wiring.Signal;
import org.kerftally.protocol.wiring.ContractReader;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.length.Length;

/**
 * Holds that whatever values a server returns, of whatever types, are a snapshot within bounds or a
 * fault that names the signal and is fit to be logged. Each input begins with a sound device and
 * replaces the values of some of its signals.
 */
final class SnapshotReaderFuzzTest {

  private static final int LONGEST_FAULT_CHARS = 500;
  private static final int MOST_REPLACED = 24;
  private static final int MOST_TEXT_CHARS = 2_000;

  /** OPC UA Part 3, 8.3. */
  private static final int MOST_NAME_CHARS = 512;

  private static final int MOST_ITEMS = 1 << 16;
  private static final long MAX_TOTAL = (1L << 53) - 1;
  private static final Length FARTHEST = Length.ofMm(1_000_000);

  @FuzzTest
  @Timeout(value = 300, unit = TimeUnit.SECONDS)
  void valuesAreASnapshotWithinBoundsOrAFaultThatNamesItsSignal(FuzzedDataProvider data) {
    Map<Signal, DataValue> values = soundDevice();
    int replaced = data.consumeInt(0, MOST_REPLACED);
    for (int i = 0; i < replaced; i++) {
      Signal signal = data.pickValue(Signal.values());
      if (data.consumeInt(0, 15) == 0) {
        values.remove(signal);
      } else {
        values.put(signal, value(data));
      }
    }
    try {
      assertWithinBounds(SnapshotReader.read(values));
    } catch (LinkFault fault) {
      String reason = fault.reason();
      assertThat(reason.length()).as(reason).isLessThan(LONGEST_FAULT_CHARS);
      assertThat(isOneLine(reason)).as(reason).isTrue();
      assertThat(namesASignal(reason)).as(reason).isTrue();
    }
  }

  private static DataValue value(FuzzedDataProvider data) {
    Variant variant = new Variant(data.consumeBoolean() ? fitting(data) : farFetched(data));
    return switch (data.consumeInt(0, 7)) {
      case 0 -> new DataValue(variant, new StatusCode(data.consumeInt()));
      case 1 -> new DataValue(new StatusCode(data.consumeInt()));
      default -> new DataValue(variant);
    };
  }

  private static @Nullable Object fitting(FuzzedDataProvider data) {
    return switch (data.consumeInt(0, 15)) {
      case 0 -> data.consumeBoolean();
      case 1 -> data.consumeByte();
      case 2 -> data.consumeShort();
      case 3 -> data.consumeInt();
      case 4 -> data.consumeLong();
      case 5 -> ubyte(data.consumeByte());
      case 6 -> ushort(data.consumeShort());
      case 7 -> uint(data.consumeInt());
      case 8 -> ulong(data.consumeLong());
      case 9 -> data.consumeFloat();
      case 10 -> data.consumeDouble();
      case 11 -> data.consumeRegularDouble(-2e6, 2e6);
      case 12 -> data.consumeString(MOST_TEXT_CHARS);
      case 13 -> new LocalizedText(data.consumeString(8), data.consumeString(MOST_TEXT_CHARS));
      case 14 -> new DateTime(data.consumeLong());
      default -> null;
    };
  }

  private static @Nullable Object farFetched(FuzzedDataProvider data) {
    int items = data.consumeInt(0, MOST_ITEMS);
    return switch (data.consumeInt(0, 11)) {
      case 0 -> new Object[items];
      case 1 -> new Double[] {data.consumeDouble(), Double.NaN, null};
      case 2 -> filled(items, data.consumeString(40));
      case 3 -> ByteString.of(new byte[items]);
      case 4 -> new UUID(data.consumeLong(), data.consumeLong());
      case 5 -> new StatusCode(data.consumeInt());
      case 6 -> new NodeId(ushort(1), data.consumeString(MOST_TEXT_CHARS));
      case 7 -> new QualifiedName(1, data.consumeString(MOST_NAME_CHARS));
      case 8 -> new Matrix(new Integer[][] {{1, 2}, {3, 4}});
      case 9 -> new LocalizedText(null, null);
      case 10 -> new Variant[] {new Variant(data.consumeInt()), new Variant(null)};
      default -> new DateTime(Instant.ofEpochSecond(data.consumeInt()));
    };
  }

  private static String[] filled(int items, String text) {
    String[] array = new String[items];
    java.util.Arrays.fill(array, text);
    return array;
  }

  private static void assertWithinBounds(DeviceSnapshot read) {
    assertThat(isIdentity(read.boot())).as(read.boot()).isTrue();
    assertTotals(read.cutCount(), read.activeSequence());
    assertThat(read.position()).isBetween(Length.ZERO.minus(FARTHEST), FARTHEST);
    assertThat(read.sawState()).isNotNull();
    assertThat(read.faultText().length()).isLessThanOrEqualTo(ContractReader.MAX_TEXT_CHARS);
    assertThat(isOneLine(read.faultText())).as(read.faultText()).isTrue();
    LastCut last = read.lastCut();
    if (last != null) {
      assertThat(isIdentity(last.boot())).as(last.boot()).isTrue();
      assertTotals(last.count(), last.seq());
      assertThat(last.count()).isPositive();
      assertThat(last.position()).isBetween(Length.ZERO.minus(FARTHEST), FARTHEST);
      Instant at = last.at();
      // Four digits of a year: no text of a time is longer, and all sort as time does.
      assertThat(at == null || at.toString().matches("[0-9]{4}-.*")).as("%s", at).isTrue();
    }
    OperatorPanel panel = read.panel();
    assertTotals(panel.stickLoaded(), panel.rejected(), panel.defects(), panel.acknowledged());
    assertMeasured(panel.stickLength());
    assertMeasured(panel.defectAt());
  }

  private static void assertMeasured(@Nullable Length length) {
    assertThat(length == null || !length.isNegative()).as("%s", length).isTrue();
    assertThat(length == null || !length.isMoreThan(FARTHEST)).as("%s", length).isTrue();
  }

  private static void assertTotals(long... totals) {
    for (long total : totals) {
      assertThat(total).isBetween(0L, MAX_TOTAL);
    }
  }

  private static boolean isIdentity(String text) {
    return !text.isBlank() && text.length() <= ContractReader.MAX_BOOT_CHARS && isOneLine(text);
  }

  private static boolean isOneLine(String text) {
    return text.chars().noneMatch(Character::isISOControl);
  }

  private static boolean namesASignal(String reason) {
    for (Signal signal : Signal.values()) {
      if (reason.startsWith("signal " + signal.contractName() + " ")) {
        return true;
      }
    }
    return false;
  }

  private static Map<Signal, DataValue> soundDevice() {
    Map<Signal, DataValue> values = new EnumMap<>(Signal.class);
    for (Signal signal : Signal.values()) {
      Object sound =
          switch (signal) {
            case BOOT_ID, LAST_CUT_BOOT -> "b1";
            case FAULT_TEXT -> "";
            case LAST_CUT_POSITION, POSITION_ACTUAL_VALUE, STICK_LENGTH, DEFECT_POSITION -> 505.02;
            case TARGET_REACHED, HOMING_ATTAINED, ENABLED, REMOTE_ALLOWED, PAUSED -> true;
            case LAST_CUT_TIME -> new DateTime(Instant.parse("2027-03-01T09:15:02.117Z"));
            default -> uint(1);
          };
      values.put(signal, new DataValue(new Variant(sound)));
    }
    return values;
  }
}
