package org.kerftally.protocol.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import java.time.Duration;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.CompletableFuture;
import java.util.stream.Stream;
import org.eclipse.milo.opcua.stack.core.AttributeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.QualifiedName;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.enumerated.TimestampsToReturn;
import org.eclipse.milo.opcua.stack.core.types.structured.CallMethodRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.CallMethodResult;
import org.eclipse.milo.opcua.stack.core.types.structured.CallRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.CallResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.ReadValueId;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.WriteValue;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.OpcUaLinkConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.protocol.LinkTap;
import org.kerftally.protocol.LinkTap.Way;
import org.kerftally.protocol.wiring.DevicePicture;
import org.kerftally.protocol.wiring.RawValue;
import org.kerftally.protocol.wiring.SignalFault;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;
import org.kerftally.shared.length.Length;

/**
 * Is one connection to a device: a session, the device's nodes in it and the subscription that
 * wakes the link. Used once, like its session.
 */
final class DeviceConnection implements AutoCloseable {

  /** How often count and last cut are read again while they disagree. */
  private static final int MAX_READS = 4;

  private final DeviceSession session;
  private final NodeMap nodes;
  private final ReadValueId[] ids;
  private final Inbox inbox;
  private final DevicePicture picture;
  private final @Nullable HandshakeRunner handshake;
  private final LinkTap tap;
  private final Map<String, String> told = new LinkedHashMap<>();

  private DeviceConnection(
      DeviceSession session,
      NodeMap nodes,
      Inbox inbox,
      DevicePicture picture,
      @Nullable HandshakeRunner handshake,
      LinkTap tap) {
    this.tap = tap;
    this.session = session;
    this.nodes = nodes;
    this.inbox = inbox;
    this.picture = picture;
    this.handshake = handshake;
    this.ids =
        Stream.concat(nodes.signals().values().stream(), nodes.points().values().stream())
            .map(
                node ->
                    new ReadValueId(node, AttributeId.Value.uid(), null, QualifiedName.NULL_VALUE))
            .toArray(ReadValueId[]::new);
  }

  /** Connects, finds the nodes and subscribes. Waits for each step a bounded time. */
  static DeviceConnection open(
      String station,
      OpcUaLinkConfig config,
      LinkSecurity security,
      Endpoints endpoints,
      DevicePicture picture,
      LinkTap tap)
      throws LinkFault, InterruptedException {
    Inbox inbox = new Inbox();
    String lost = "the connection to " + config.endpoint() + " was lost";
    DeviceSession session =
        DeviceSession.open(station, config, security, endpoints.endpoint(), () -> inbox.lose(lost));
    boolean open = false;
    try {
      tap.text(Way.FROM_DEVICE, "connected", config.endpoint(), "");
      NodeMap nodes = NodeResolver.resolve(session, config);
      WakeUp.subscribe(
          session,
          watched(nodes),
          config.publishing(),
          inbox::change,
          () -> inbox.lose(config.endpoint() + " gave the subscription up"),
          tap);
      picture.connected();
      HandshakeRunner handshake = HandshakeRunner.begin(session, config, nodes, picture, tap);
      open = true;
      return new DeviceConnection(session, nodes, inbox, picture, handshake, tap);
    } finally {
      if (!open) {
        session.close();
      }
    }
  }

  private static Map<String, NodeId> watched(NodeMap nodes) {
    Map<String, NodeId> watched = new LinkedHashMap<>();
    nodes.signals().forEach((signal, node) -> watched.put(signal.contractName(), node));
    nodes.points().forEach((name, node) -> watched.put(NodeResolver.MOVE + name, node));
    return watched;
  }

  /** Returns what hands targets over, {@code null} for a device with the contract's method. */
  @Nullable HandshakeRunner handshake() {
    return handshake;
  }

  /** Returns what comes in over this connection. */
  Inbox inbox() {
    return inbox;
  }

  /**
   * Reads every signal in one request, again while count and last cut disagree.
   *
   * @throws LinkFault when the device cannot be read or a value cannot be used
   */
  DeviceSnapshot read() throws LinkFault, InterruptedException {
    DeviceSnapshot snapshot = readOnce();
    for (int reads = 1; !snapshot.isConsistent() && reads < MAX_READS; reads++) {
      snapshot = readOnce();
    }
    return snapshot;
  }

  private DeviceSnapshot readOnce() throws LinkFault, InterruptedException {
    DataValue[] results =
        session
            .ask(
                ReadResponse.class,
                header -> new ReadRequest(header, 0.0, TimestampsToReturn.Neither, ids))
            .getResults();
    if (results == null || results.length != ids.length) {
      throw new LinkFault(session.url() + " answered a Read with another number of values");
    }
    Map<Signal, RawValue> values = new EnumMap<>(Signal.class);
    int i = 0;
    for (Signal signal : nodes.signals().keySet()) {
      WireText.read(tap, signal.contractName(), ids[i].getNodeId(), results[i], told);
      values.put(signal, SnapshotReader.raw(results[i++]));
    }
    Map<String, RawValue> points = new LinkedHashMap<>();
    for (String name : nodes.points().keySet()) {
      WireText.read(tap, NodeResolver.MOVE + name, ids[i].getNodeId(), results[i], told);
      points.put(name, SnapshotReader.raw(results[i++]));
    }
    try {
      DeviceSnapshot snapshot = picture.take(values);
      if (handshake != null) {
        handshake.saw(points, snapshot);
      }
      return snapshot;
    } catch (SignalFault e) {
      throw new LinkFault(e.reason(), e);
    }
  }

  /**
   * Calls the device's method, on the connection as it stands now or not at all.
   *
   * @return the method's result; fails when there is none within {@code limit}
   */
  CompletableFuture<CallMethodResult> move(Target target, Duration limit) {
    CallMethodRequest call =
        new CallMethodRequest(
            Objects.requireNonNull(nodes.owner()),
            Objects.requireNonNull(nodes.moveAbsolute()),
            new Variant[] {
              Variant.ofDouble(target.position().toReadingMm()),
              Variant.ofUInt32(uint(target.seq()))
            });
    String place = "MoveAbsolute " + call.getMethodId().toParseableString();
    tap.text(Way.TO_DEVICE, "call", place, WireText.of(call.getInputArguments()));
    return session
        .send(
            CallResponse.class,
            header -> new CallRequest(header, new CallMethodRequest[] {call}),
            limit)
        .thenApply(
            response -> {
              CallMethodResult[] results = response.getResults();
              if (results == null || results.length != 1) {
                throw new IllegalStateException("a call was answered with no result");
              }
              return results[0];
            })
        .whenComplete(
            (result, failure) ->
                tap.text(Way.FROM_DEVICE, "answer", place, answer(result, failure)));
  }

  private static String answer(@Nullable CallMethodResult result, @Nullable Throwable failure) {
    if (result == null) {
      return "none: " + failure;
    }
    String outputs = WireText.of(result.getOutputArguments());
    return SnapshotReader.name(result.getStatusCode()) + (outputs.isEmpty() ? "" : ": " + outputs);
  }

  /** Tells whether the connection stands, as far as this side knows. */
  boolean isConnected() {
    return session.isConnected();
  }

  /** Shows a prompt where the device has nodes for it; fails silently, for it is no command. */
  CompletableFuture<WriteResponse> show(Prompt prompt) {
    WriteValue[] values =
        nodes.prompts().entrySet().stream()
            .map(
                entry ->
                    new WriteValue(
                        entry.getValue(),
                        AttributeId.Value.uid(),
                        null,
                        DataValue.valueOnly(value(entry.getKey(), prompt))))
            .toArray(WriteValue[]::new);
    nodes
        .prompts()
        .forEach(
            (name, node) ->
                tap.text(
                    Way.TO_DEVICE,
                    "write",
                    WireText.place(name, node),
                    WireText.of(value(name, prompt))));
    return session.send(
        WriteResponse.class, header -> new WriteRequest(header, values), session.timeout());
  }

  /** Tells whether the device has any node for prompts. */
  boolean showsPrompts() {
    return !nodes.prompts().isEmpty();
  }

  private static Variant value(String name, Prompt prompt) {
    Length length = prompt.length();
    return switch (name) {
      case "PromptKind" -> Variant.ofString(prompt.kind().name());
      case "PromptText" -> Variant.ofString(prompt.text());
      case "PromptMaterial" -> Variant.ofString(orEmpty(prompt.material()));
      case "PromptLength" -> Variant.ofDouble(length == null ? Double.NaN : length.toReadingMm());
      case "PromptLabel" -> Variant.ofString(orEmpty(prompt.label()));
      default -> throw new IllegalArgumentException("no prompt variable: " + name);
    };
  }

  private static String orEmpty(@Nullable String text) {
    return text == null ? "" : text;
  }

  @Override
  public void close() {
    session.close();
  }
}
