package org.kerftally.protocol.opcua;

import java.util.Arrays;
import java.util.Map;
import java.util.StringJoiner;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.jspecify.annotations.Nullable;
import org.kerftally.protocol.LinkTap;
import org.kerftally.protocol.LinkTap.Way;

/** Tells a tap what passes over a connection, in words for people. Trusts no value. */
final class WireText {

  private WireText() {}

  /** Returns a value, or the name of its status where that is not good. */
  static String of(@Nullable DataValue value) {
    if (value == null) {
      return "no answer";
    }
    StatusCode status = value.statusCode();
    return status.isGood() ? of(value.value()) : SnapshotReader.name(status);
  }

  /** Returns a value, or the name of its status where that is not good. */
  static String of(@Nullable Variant variant) {
    Object value = variant == null ? null : variant.value();
    if (value instanceof LocalizedText localized) {
      return String.valueOf(localized.text());
    }
    return value instanceof Object[] array ? Arrays.deepToString(array) : String.valueOf(value);
  }

  /** Returns values with commas between them. */
  static String of(Variant @Nullable [] values) {
    StringJoiner text = new StringJoiner(", ");
    for (Variant value : values == null ? new Variant[0] : values) {
      text.add(of(value));
    }
    return text.toString();
  }

  /** Tells of what a reading shows otherwise than the one before. */
  static void read(
      LinkTap tap, String name, NodeId node, @Nullable DataValue value, Map<String, String> last) {
    if (tap.listens()) {
      String text = of(value);
      if (!text.equals(last.put(name, text))) {
        tap.text(Way.FROM_DEVICE, "read", place(name, node), text);
      }
    }
  }

  /** Returns a place: the signal's name and its node. */
  static String place(String name, NodeId node) {
    return name + " " + node.toParseableString();
  }
}
