package org.kerftally.config;

import java.time.Duration;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.WiringConfig;

/**
 * States how a device is reached over OPC UA.
 *
 * @param endpoint the endpoint's address, {@code opc.tcp://host:port}
 * @param namespace the URI of the namespace the positioner's names live in
 * @param nodes the node of a signal by its contract name, as a NodeId string ({@code
 *     nsu=urn:x;s=Pos} or {@code ns=2;s=Pos}); a name that is not here is browsed as {@code
 *     Objects/Positioner/NAME} in the namespace
 * @param publishing how often the server reports changes
 * @param timeout how long a request may wait for its answer
 * @param security how messages are secured
 * @param identity as whom the link speaks, or {@code null} for nobody in particular
 * @param plainText whether the link may speak in clear to another machine
 * @param wiring how the device's signals are wired to those of the device contract
 */
public record OpcUaLinkConfig(
    String endpoint,
    String namespace,
    Map<String, String> nodes,
    Duration publishing,
    Duration timeout,
    OpcUaSecurity security,
    @Nullable OpcUaIdentity identity,
    PlainText plainText,
    WiringConfig wiring)
    implements LinkConfig {

  /** The namespace of the device contract. */
  public static final String DEFAULT_NAMESPACE = "urn:kerftally:positioner";

  /** Twenty milliseconds. */
  public static final Duration DEFAULT_PUBLISHING = Duration.ofMillis(20);

  /** The contract's names that {@code nodes} may map: variables, then the method. */
  public static final List<String> SIGNALS =
      List.of(
          "TargetPosition",
          "TargetSequence",
          "PositionActualValue",
          "TargetReached",
          "ActiveSequence",
          "CutCount",
          "BootId",
          "HomingAttained",
          "Enabled",
          "RemoteAllowed",
          "SawState",
          "LastCutBoot",
          "LastCutCount",
          "LastCutSequence",
          "LastCutPosition",
          "LastCutTime",
          "FaultCode",
          "FaultText",
          "StickLoadedCount",
          "StickLength",
          "RejectCount",
          "DefectCount",
          "DefectPosition",
          "AcknowledgeCount",
          "Paused",
          "PromptKind",
          "PromptText",
          "PromptMaterial",
          "PromptLength",
          "PromptLabel",
          "MoveAbsolute");

  /** Copies the map, keeping its order. */
  public OpcUaLinkConfig {
    nodes = Collections.unmodifiableMap(new LinkedHashMap<>(nodes));
  }

  /** States a link without security. */
  public OpcUaLinkConfig(
      String endpoint,
      String namespace,
      Map<String, String> nodes,
      Duration publishing,
      Duration timeout) {
    this(
        endpoint,
        namespace,
        nodes,
        publishing,
        timeout,
        OpcUaSecurity.NONE,
        null,
        PlainText.REFUSED,
        WiringConfig.CONTRACT);
  }

  /** Returns the same link with this security. */
  public OpcUaLinkConfig with(OpcUaSecurity security, @Nullable OpcUaIdentity identity) {
    return new OpcUaLinkConfig(
        endpoint, namespace, nodes, publishing, timeout, security, identity, plainText, wiring);
  }

  @Override
  public boolean isSecured() {
    return security != OpcUaSecurity.NONE;
  }

  @Override
  public String address() {
    return endpoint;
  }
}
