package org.kerftally.sim.opcua;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.time.Clock;
import java.util.List;
import java.util.Set;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.atomic.AtomicReference;
import org.eclipse.milo.opcua.sdk.server.EndpointConfig;
import org.eclipse.milo.opcua.sdk.server.OpcUaServer;
import org.eclipse.milo.opcua.sdk.server.OpcUaServerConfig;
import org.eclipse.milo.opcua.sdk.server.OpcUaServerConfigBuilder;
import org.eclipse.milo.opcua.stack.core.Stack;
import org.eclipse.milo.opcua.stack.core.security.DefaultCertificateManager;
import org.eclipse.milo.opcua.stack.core.security.MemoryCertificateQuarantine;
import org.eclipse.milo.opcua.stack.core.security.SecurityPolicy;
import org.eclipse.milo.opcua.stack.core.transport.TransportProfile;
import org.eclipse.milo.opcua.stack.core.types.builtin.DateTime;
import org.eclipse.milo.opcua.stack.core.types.builtin.LocalizedText;
import org.eclipse.milo.opcua.stack.core.types.enumerated.MessageSecurityMode;
import org.eclipse.milo.opcua.stack.core.types.enumerated.UserTokenType;
import org.eclipse.milo.opcua.stack.core.types.structured.BuildInfo;
import org.eclipse.milo.opcua.stack.core.types.structured.UserTokenPolicy;
import org.eclipse.milo.opcua.stack.core.util.EndpointUtil;
import org.eclipse.milo.opcua.stack.transport.server.tcp.OpcTcpServerTransport;
import org.eclipse.milo.opcua.stack.transport.server.tcp.OpcTcpServerTransportConfig;
import org.eclipse.milo.opcua.stack.transport.server.tcp.OpcTcpServerTransportConfigBuilder;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.Prompt;
import org.kerftally.sim.DeviceServer;
import org.kerftally.sim.SimDevice;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Serves the simulated device over OPC UA on the loopback interface, without security or with
 * {@link ServerSecurity}.
 *
 * <p>While the device has no power there is no server: connections break as they do when a
 * controller loses its supply, and the same port answers again after the power is back.
 *
 * <p>Threading: one thread of its own starts and stops the server, puts changes into the nodes and
 * shows prompts. The device's thread and the library's threads only leave it a note, so a slow
 * client never slows the machine. Notes coalesce: at most one of each kind waits.
 */
public final class OpcUaDeviceServer implements DeviceServer {

  private static final Logger log = LoggerFactory.getLogger(OpcUaDeviceServer.class);

  private static final String HOST = "127.0.0.1";
  private static final long CLOSING_MILLIS = 5_000;

  /** How long a start may take: the first one of a process loads the standard's own nodes. */
  private static final long STARTING_MILLIS = 60_000;

  /** Connections taken from one address in a second; several stations share this one. */
  private static final int CONNECTIONS_PER_SECOND = 100;

  static {
    Stack.ConnectionLimits.RATE_LIMIT_MAX_ATTEMPTS = CONNECTIONS_PER_SECOND;
  }

  private static final UserTokenPolicy ANYBODY =
      new UserTokenPolicy("anonymous", UserTokenType.Anonymous, null, null, null);

  private final SimDevice device;
  private final int port;
  private final List<String> namespacesBefore;
  private final @Nullable SecuredEndpoints secured;
  private final @Nullable Neighbour neighbour;
  private final ExecutorService owner;
  private final AtomicLong keysAgreed = new AtomicLong();
  private final AtomicBoolean updating = new AtomicBoolean();
  private final AtomicReference<@Nullable Prompt> prompt = new AtomicReference<>();
  private @Nullable Running running;
  private volatile boolean closed;

  /** What else a server offers beside the device: made anew with every start of the server. */
  public interface Neighbour {

    /** Makes its nodes on a server that is about to start, and is closed with it. */
    AutoCloseable on(OpcUaServer server);
  }

  private record Running(
      OpcUaServer server, PositionerNamespace namespace, @Nullable AutoCloseable neighbour) {}

  /**
   * Serves the device on a port.
   *
   * @param port the TCP port, 0 for any that is free
   * @throws IllegalStateException when the port cannot be had
   */
  public OpcUaDeviceServer(SimDevice device, int port) {
    this(device, port, List.of(), null, null);
  }

  /** Serves the device on a port, beside something else on the same server. */
  public OpcUaDeviceServer(SimDevice device, int port, Neighbour neighbour) {
    this(device, port, List.of(), null, neighbour);
  }

  /** Serves the device on a port, to those that its security lets in. */
  public OpcUaDeviceServer(SimDevice device, int port, ServerSecurity security) {
    this(device, port, List.of(), security, null);
  }

  /**
   * Serves the device on a server that has other namespaces as well, as one that other equipment
   * shares. They come first, so that the device's own gets another index.
   */
  public OpcUaDeviceServer(SimDevice device, int port, List<String> namespacesBefore) {
    this(device, port, namespacesBefore, null, null);
  }

  private OpcUaDeviceServer(
      SimDevice device,
      int port,
      List<String> namespacesBefore,
      @Nullable ServerSecurity security,
      @Nullable Neighbour neighbour) {
    this.neighbour = neighbour;
    this.device = device;
    this.port = port == 0 ? freePort() : port;
    this.namespacesBefore = List.copyOf(namespacesBefore);
    this.secured = security == null ? null : new SecuredEndpoints(security, applicationUri(device));
    this.owner =
        Executors.newSingleThreadExecutor(
            task -> {
              Thread thread = new Thread(task, "sim-opcua-" + device.config().station());
              thread.setDaemon(true);
              return thread;
            });
    boolean started = false;
    try {
      await(owner.submit(() -> power(device.isPowered())));
      started = true;
    } finally {
      if (!started) {
        owner.shutdownNow();
      }
    }
    device.onChange(this::noteChange);
    device.onPower(on -> note(() -> power(on)));
    noteChange();
  }

  private static String applicationUri(SimDevice device) {
    return "urn:kerftally:sim-device:" + device.config().station();
  }

  private static int freePort() {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    } catch (IOException e) {
      throw new UncheckedIOException("no free port on " + HOST, e);
    }
  }

  /** Returns the endpoint URL. */
  @Override
  public String address() {
    return "opc.tcp://" + HOST + ":" + port;
  }

  /** Returns the port it serves on. */
  public int port() {
    return port;
  }

  /** Returns how many sessions clients hold, for finding clients that leave some behind. */
  public int sessions() {
    return await(
        owner.submit(
            () ->
                running == null ? 0 : running.server.getSessionManager().getAllSessions().size()));
  }

  /** Returns how often keys were agreed on with a client, at first or anew. */
  public long keysAgreed() {
    return keysAgreed.get();
  }

  private void noteChange() {
    if (!closed && updating.compareAndSet(false, true)) {
      note(
          () -> {
            updating.set(false);
            if (running != null) {
              running.namespace.update();
            }
          });
    }
  }

  private void notePrompt(Prompt next) {
    if (prompt.getAndSet(next) == null) {
      note(
          () -> {
            Prompt newest = prompt.getAndSet(null);
            if (newest != null) {
              device.show(newest);
            }
          });
    }
  }

  private void note(Runnable task) {
    try {
      owner.execute(task);
    } catch (RejectedExecutionException e) {
      log.debug("closed before", e);
    }
  }

  private void power(boolean on) {
    if (on && running == null && !closed) {
      running = start();
    } else if (!on && running != null) {
      stop(running);
      running = null;
    }
  }

  private Running start() {
    EndpointConfig.Builder plain =
        EndpointConfig.newBuilder()
            .setTransportProfile(TransportProfile.TCP_UASC_UABINARY)
            .setBindAddress(HOST)
            .setHostname(HOST)
            .setBindPort(port);
    List<EndpointConfig> endpoints =
        secured != null
            ? secured.like(plain)
            : List.of(
                plain
                    .setSecurityPolicy(SecurityPolicy.None)
                    .setSecurityMode(MessageSecurityMode.None)
                    .addTokenPolicy(ANYBODY)
                    .build());
    OpcUaServerConfigBuilder config =
        OpcUaServerConfig.builder()
            .setApplicationUri(applicationUri(device))
            .setApplicationName(LocalizedText.english("Simulated positioner"))
            .setProductUri("urn:kerftally:sim-device")
            .setBuildInfo(
                new BuildInfo("urn:kerftally", "", "Simulated positioner", "", "", DateTime.now()))
            .setEndpoints(Set.copyOf(endpoints))
            .setLimits(new SimLimits())
            .setCertificateManager(
                new DefaultCertificateManager(new MemoryCertificateQuarantine()));
    OpcTcpServerTransportConfigBuilder transport = OpcTcpServerTransportConfig.newBuilder();
    if (secured != null) {
      secured.secure(config);
      config.setSecurityKeysListener(keys -> keysAgreed.incrementAndGet());
      secured.bound(transport);
    }
    OpcUaServer server =
        new OpcUaServer(config.build(), profile -> new OpcTcpServerTransport(transport.build()));
    server.addServiceSet(
        EndpointUtil.getPath(endpoints.get(0).getEndpointUrl()),
        new PunctualCalls(server, Clock.systemUTC()));
    namespacesBefore.forEach(uri -> server.getNamespaceTable().add(uri));
    PositionerNamespace namespace = new PositionerNamespace(server, device, this::notePrompt);
    namespace.startup();
    AutoCloseable beside = neighbour == null ? null : neighbour.on(server);
    try {
      server.startup().get(STARTING_MILLIS, TimeUnit.MILLISECONDS);
    } catch (ExecutionException | TimeoutException | InterruptedException e) {
      namespace.shutdown();
      throw new IllegalStateException("cannot serve OPC UA on " + HOST + ":" + port, e);
    }
    return new Running(server, namespace, beside);
  }

  private static void stop(Running was) {
    if (was.neighbour != null) {
      try {
        was.neighbour.close();
      } catch (Exception e) {
        log.warn("what stood beside the device did not close", e);
      }
    }
    was.namespace.shutdown();
    try {
      was.server.shutdown().get(CLOSING_MILLIS, TimeUnit.MILLISECONDS);
    } catch (ExecutionException | TimeoutException e) {
      log.warn("the server did not stop in good order", e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private static <T> T await(Future<T> task) {
    try {
      return task.get(STARTING_MILLIS, TimeUnit.MILLISECONDS);
    } catch (ExecutionException e) {
      throw new IllegalStateException(e.getCause());
    } catch (TimeoutException e) {
      throw new IllegalStateException("the server's thread is busy", e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException("interrupted", e);
    }
  }

  @Override
  public void close() {
    if (closed) {
      return;
    }
    closed = true;
    note(() -> power(false));
    owner.shutdown();
    try {
      if (!owner.awaitTermination(CLOSING_MILLIS, TimeUnit.MILLISECONDS)) {
        owner.shutdownNow();
      }
    } catch (InterruptedException e) {
      owner.shutdownNow();
      Thread.currentThread().interrupt();
    }
  }
}
