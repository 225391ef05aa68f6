package org.kerftally.protocol.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import java.time.Duration;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.function.Function;
import org.eclipse.milo.opcua.sdk.client.OpcUaClient;
import org.eclipse.milo.opcua.sdk.client.OpcUaClientConfig;
import org.eclipse.milo.opcua.sdk.client.OpcUaClientConfigBuilder;
import org.eclipse.milo.opcua.sdk.client.SessionActivityListener;
import org.eclipse.milo.opcua.sdk.client.UaSession;
import org.eclipse.milo.opcua.stack.core.NamespaceTable;
import org.eclipse.milo.opcua.stack.core.channel.EncodingLimits;
import org.eclipse.milo.opcua.stack.core.types.UaRequestMessageType;
import org.eclipse.milo.opcua.stack.core.types.UaResponseMessageType;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.structured.EndpointDescription;
import org.eclipse.milo.opcua.stack.core.types.structured.RequestHeader;
import org.kerftally.config.OpcUaLinkConfig;

/**
 * Is one session with a server, from its making to its loss, and is never made again.
 *
 * <p>The client library would mend a lost session by itself, in the background and on its own
 * schedule, carrying requests and subscriptions over. That is the wrong kind of help here: what the
 * device did meanwhile has to be settled before anything moves, so a lost session has to be seen as
 * lost. So each session gets a client of its own. When it is lost, the connection is let go first,
 * which fails whatever waits for it, and the client is told to close, which ends its own attempts.
 *
 * <p>Requests carry this session's token and go out on the standing connection or not at all.
 *
 * <p>Threading: safe for any thread.
 */
final class DeviceSession implements AutoCloseable {

  /** How long the server keeps a session nobody speaks in: a few times the poll. */
  private static final Duration SESSION_TIMEOUT = Duration.ofSeconds(30);

  /** How often the library looks after the session; the poll does so more often. */
  private static final Duration KEEP_ALIVE = Duration.ofSeconds(10);

  /** How long an orderly farewell may take. */
  private static final Duration FAREWELL = Duration.ofSeconds(1);

  /** More than any answer to what is asked here: 1 MiB. */
  private static final int MAX_MESSAGE_BYTES = 1 << 20;

  private final OpcUaClient client;
  private final LiveTransport transport;
  private final NodeId token;
  private final String url;
  private final Duration timeout;

  private DeviceSession(
      OpcUaClient client, LiveTransport transport, NodeId token, String url, Duration timeout) {
    this.client = client;
    this.transport = transport;
    this.token = token;
    this.url = url;
    this.timeout = timeout;
  }

  /**
   * Connects and opens a session.
   *
   * @param station the station's name, to be found again in the server's list of sessions
   * @param security what secures the session
   * @param endpoint where to
   * @param onLost called once or more when the session is lost, from a thread of the library
   */
  static DeviceSession open(
      String station,
      OpcUaLinkConfig config,
      LinkSecurity security,
      EndpointDescription endpoint,
      Runnable onLost)
      throws LinkFault, InterruptedException {
    String url = config.endpoint();
    OpcUaClientConfigBuilder wanted = clientConfig(station, config, endpoint);
    security.secure(wanted);
    LiveTransport transport = LiveTransport.create(config.timeout(), security.channelLifetime());
    OpcUaClient client = new OpcUaClient(wanted.build(), transport);
    client.addSessionActivityListener(
        new SessionActivityListener() {
          @Override
          public void onSessionInactive(UaSession session) {
            onLost.run();
          }
        });
    CompletableFuture<OpcUaClient> connecting = client.connectAsync();
    boolean open = false;
    try {
      Answers.await(connecting, config.timeout(), url);
      NodeId token =
          Answers.await(client.getSessionAsync(), config.timeout(), url).getAuthenticationToken();
      open = true;
      return new DeviceSession(client, transport, token, url, config.timeout());
    } catch (LinkFault e) {
      throw security.explain(e);
    } finally {
      if (!open) {
        end(client, transport, Duration.ZERO);
        endOnceSettled(client, connecting);
      }
    }
  }

  private static OpcUaClientConfigBuilder clientConfig(
      String station, OpcUaLinkConfig config, EndpointDescription endpoint) {
    return OpcUaClientConfig.builder()
        .setEndpoint(endpoint)
        .setApplicationName(LocalizedText.english("Kerftally"))
        .setProductUri("urn:kerftally")
        .setSessionName(() -> "kerftally " + station)
        .setSessionTimeout(uint(SESSION_TIMEOUT.toMillis()))
        .setRequestTimeout(uint(config.timeout().toMillis()))
        .setKeepAliveInterval(uint(KEEP_ALIVE.toMillis()))
        .setKeepAliveTimeout(uint(config.timeout().toMillis()))
        .setMaxResponseMessageSize(uint(MAX_MESSAGE_BYTES))
        .setEncodingLimits(
            new EncodingLimits(
                EncodingLimits.DEFAULT_MAX_CHUNK_SIZE,
                EncodingLimits.DEFAULT_MAX_CHUNK_COUNT,
                MAX_MESSAGE_BYTES,
                EncodingLimits.DEFAULT_MAX_RECURSION_DEPTH));
  }

  /** Returns the client, for the subscription that lives in this session. */
  OpcUaClient client() {
    return client;
  }

  /** Returns the server's namespaces as they are in this session. */
  NamespaceTable namespaces() {
    return client.getNamespaceTable();
  }

  /** Returns the server's address, for error texts. */
  String url() {
    return url;
  }

  /** Returns how long a request may take. */
  Duration timeout() {
    return timeout;
  }

  /** Tells whether the connection stands. */
  boolean isConnected() {
    return transport.isConnected();
  }

  /** Asks and waits for the answer. */
  <T extends UaResponseMessageType> T ask(
      Class<T> type, Function<RequestHeader, UaRequestMessageType> request)
      throws LinkFault, InterruptedException {
    return ask(type, request, timeout);
  }

  /** Asks and waits for the answer, for no longer than a limit that the server is told too. */
  <T extends UaResponseMessageType> T ask(
      Class<T> type, Function<RequestHeader, UaRequestMessageType> request, Duration limit)
      throws LinkFault, InterruptedException {
    return Answers.await(send(type, request, limit), limit, url);
  }

  /** Asks on the standing connection, with a limit that the server is told too. */
  <T extends UaResponseMessageType> CompletableFuture<T> send(
      Class<T> type, Function<RequestHeader, UaRequestMessageType> request, Duration limit) {
    RequestHeader header = client.newRequestHeader(token, uint(Math.max(1, limit.toMillis())));
    return transport.sendRequestMessage(request.apply(header)).thenApply(type::cast);
  }

  /** Ends the session, in good order when the connection stands. Waits a second at most. */
  @Override
  public void close() {
    end(client, transport, transport.isConnected() ? FAREWELL : Duration.ZERO);
  }

  private static void end(OpcUaClient client, LiveTransport transport, Duration farewell) {
    if (farewell.isZero()) {
      transport.abandon();
    }
    CompletableFuture<OpcUaClient> ended = client.disconnectAsync();
    try {
      ended.get(farewell.toMillis(), TimeUnit.MILLISECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (ExecutionException | TimeoutException e) {
      // Not in good order, then: letting the connection go ends it as well.
    }
    transport.abandon();
  }

  /**
   * Tells the client once more to close, as soon as its attempt to connect is over. Its session is
   * only begun then, whatever became of the attempt and of a close before: it would try for good,
   * and hold on to the client for as long.
   */
  private static void endOnceSettled(
      OpcUaClient client, CompletableFuture<OpcUaClient> connecting) {
    Answers.ignore(
        connecting.whenComplete((same, failure) -> Answers.ignore(client.disconnectAsync())));
  }
}
