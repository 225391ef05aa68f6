package org.kerftally.protocol.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.ubyte;

import java.util.Arrays;
import java.util.List;
import java.util.stream.Collectors;
import org.eclipse.milo.opcua.sdk.client.DiscoveryClient;
import org.eclipse.milo.opcua.stack.core.Stack;
import org.eclipse.milo.opcua.stack.core.security.SecurityPolicy;
import org.eclipse.milo.opcua.stack.core.types.enumerated.MessageSecurityMode;
import org.eclipse.milo.opcua.stack.core.types.structured.EndpointDescription;
import org.eclipse.milo.opcua.stack.core.types.structured.GetEndpointsResponse;
import org.eclipse.milo.opcua.stack.core.util.EndpointUtil;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.OpcUaLinkConfig;

/**
 * Finds the endpoint to speak to: asks the server what it offers and takes the best that {@link
 * LinkSecurity} lets pass.
 *
 * <p>What was chosen is remembered until it fails: servers limit how many connections one address
 * may open in a second, and a lost connection should not need two.
 *
 * <p>The address in the configuration is believed, not the one the server names: servers name
 * themselves by host names that nobody else on the network can resolve.
 *
 * <p>Threading: none; the link's own thread has it.
 */
final class Endpoints {

  /** How many of a server's offers an error text lists. */
  private static final int MAX_DESCRIBED = 8;

  private final OpcUaLinkConfig config;
  private final LinkSecurity security;
  private @Nullable EndpointDescription chosen;

  Endpoints(OpcUaLinkConfig config, LinkSecurity security) {
    this.config = config;
    this.security = security;
  }

  /** Forgets the choice, so that the server is asked again. */
  void forget() {
    chosen = null;
  }

  /**
   * Returns the endpoint, asking the server when it is not known yet.
   *
   * @throws LinkFault when the server is not reached or offers nothing that fits
   */
  EndpointDescription endpoint() throws LinkFault, InterruptedException {
    EndpointDescription known = chosen;
    if (known == null) {
      known = find();
      chosen = known;
    }
    security.checkServer(known);
    return known;
  }

  private EndpointDescription find() throws LinkFault, InterruptedException {
    String url = config.endpoint();
    String host = EndpointUtil.getHost(url);
    if (host == null || !"opc.tcp".equals(EndpointUtil.getScheme(url))) {
      throw new LinkFault("not an OPC UA address: " + url + "; expected opc.tcp://host:port");
    }
    LiveTransport transport = LiveTransport.create(config.timeout(), security.channelLifetime());
    try {
      DiscoveryClient client = new DiscoveryClient(discovery(url), transport);
      Answers.await(client.connectAsync(), config.timeout(), url);
      GetEndpointsResponse response =
          Answers.await(
              client.getEndpoints(
                  url, new String[0], new String[] {Stack.TCP_UASC_UABINARY_TRANSPORT_URI}),
              config.timeout(),
              url);
      EndpointDescription[] offered = response.getEndpoints();
      EndpointDescription chosen =
          choose(offered == null ? List.of() : Arrays.asList(offered), url);
      return EndpointUtil.updateUrl(chosen, host, EndpointUtil.getPort(url));
    } finally {
      transport.abandon();
    }
  }

  /** Returns the best offer that fits, on the wanted path if there is one. */
  EndpointDescription choose(List<EndpointDescription> offered, String url) throws LinkFault {
    List<EndpointDescription> fitting =
        security.fitting(offered.stream().filter(Endpoints::isTcp).toList());
    String path = EndpointUtil.getPath(url);
    return fitting.stream()
        .filter(offer -> path.equals(EndpointUtil.getPath(offer.getEndpointUrl())))
        .findFirst()
        .or(() -> fitting.stream().findFirst())
        .orElseThrow(
            () ->
                new LinkFault(
                    "the OPC UA server at "
                        + url
                        + " offers no endpoint "
                        + security.wanted()
                        + "; it offers "
                        + describe(offered)));
  }

  private static boolean isTcp(EndpointDescription offer) {
    return Stack.TCP_UASC_UABINARY_TRANSPORT_URI.equals(offer.getTransportProfileUri());
  }

  private static String describe(List<EndpointDescription> offered) {
    if (offered.isEmpty()) {
      return "none";
    }
    return offered.stream()
        .limit(MAX_DESCRIBED)
        .map(Endpoints::describe)
        .distinct()
        .collect(Collectors.joining(", "));
  }

  private static String describe(EndpointDescription offer) {
    String policy = String.valueOf(offer.getSecurityPolicyUri());
    return policy.substring(policy.indexOf('#') + 1) + "/" + offer.getSecurityMode();
  }

  private static EndpointDescription discovery(String url) {
    return new EndpointDescription(
        url,
        null,
        null,
        MessageSecurityMode.None,
        SecurityPolicy.None.getUri(),
        null,
        Stack.TCP_UASC_UABINARY_TRANSPORT_URI,
        ubyte(0));
  }
}
