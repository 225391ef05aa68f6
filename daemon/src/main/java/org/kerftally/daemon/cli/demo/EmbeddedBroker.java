package org.kerftally.daemon.cli.demo;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.LoggerContext;
import java.util.HashMap;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import org.apache.activemq.artemis.api.core.TransportConfiguration;
import org.apache.activemq.artemis.core.config.Configuration;
import org.apache.activemq.artemis.core.config.impl.ConfigurationImpl;
import org.apache.activemq.artemis.core.remoting.impl.netty.NettyAcceptorFactory;
import org.apache.activemq.artemis.core.remoting.impl.netty.TransportConstants;
import org.apache.activemq.artemis.core.server.embedded.EmbeddedActiveMQ;
import org.apache.activemq.artemis.core.settings.impl.AddressFullMessagePolicy;
import org.apache.activemq.artemis.core.settings.impl.AddressSettings;
import org.slf4j.ILoggerFactory;
import org.slf4j.LoggerFactory;

/**
 * Runs an MQTT 5 broker within this process, for a demo that needs nothing else installed.
 *
 * <p>It listens on the loopback address only, on a port the system picks, asks for no user, keeps
 * everything in memory, writes no file and shows nothing over JMX. Memory, connections and threads
 * are bounded; a topic that is flooded past its bound loses what comes on top, as a broker may.
 * This is no broker for a workshop: there a real one belongs, with users and persistence.
 *
 * <p>Threading: starting and closing wait for the broker; both take seconds at most and may be
 * called from any thread, closing more than once.
 */
public final class EmbeddedBroker implements AutoCloseable {

  private static final String HOST = "127.0.0.1";
  private static final String ACCEPTOR = "mqtt";
  private static final int MAX_CONNECTIONS = 64;
  private static final int MAX_PACKET_BYTES = 256 * 1024;
  private static final long MAX_TOPIC_BYTES = 8L * 1024 * 1024;
  private static final long MAX_TOTAL_BYTES = 64L * 1024 * 1024;
  private static final int THREADS = 8;
  private static final int SCHEDULED_THREADS = 2;
  private static final int NETWORK_THREADS = 2;
  private static final long EXPIRY_SCAN_MILLIS = 1_000;
  private static final String[] WORDY = {"org.apache.activemq", "io.netty"};

  private final EmbeddedActiveMQ server;
  private final int port;
  private boolean closed;

  private EmbeddedBroker(EmbeddedActiveMQ server, int port) {
    this.server = server;
    this.port = port;
  }

  /**
   * Starts a broker.
   *
   * @throws IllegalStateException when it cannot be started, with the reason
   */
  public static EmbeddedBroker start() {
    quieten();
    EmbeddedActiveMQ server = new EmbeddedActiveMQ();
    try {
      server.setConfiguration(configuration());
      server.start();
      int port =
          server.getActiveMQServer().getRemotingService().getAcceptor(ACCEPTOR).getActualPort();
      if (port <= 0) {
        throw new IllegalStateException("it listens on no port");
      }
      return new EmbeddedBroker(server, port);
    } catch (Exception e) {
      stop(server);
      throw new IllegalStateException("the demo's broker could not be started: " + e, e);
    }
  }

  /** Returns the address to put into a link's configuration: {@code tcp://127.0.0.1:port}. */
  public String url() {
    return "tcp://" + HOST + ":" + port;
  }

  @Override
  public synchronized void close() {
    if (!closed) {
      closed = true;
      stop(server);
    }
  }

  private static void stop(EmbeddedActiveMQ server) {
    try {
      server.stop();
    } catch (Exception e) {
      LoggerFactory.getLogger(EmbeddedBroker.class).warn("the demo's broker ended untidily", e);
    }
  }

  private static Configuration configuration() {
    AddressSettings bounds =
        new AddressSettings()
            .setMaxSizeBytes(MAX_TOPIC_BYTES)
            .setAddressFullMessagePolicy(AddressFullMessagePolicy.DROP);
    return new ConfigurationImpl()
        .setName("kerftally-demo")
        .setPersistenceEnabled(false)
        .setSecurityEnabled(false)
        .setJMXManagementEnabled(false)
        .setCriticalAnalyzer(false)
        .setGlobalMaxSize(MAX_TOTAL_BYTES)
        .setThreadPoolMaxSize(THREADS)
        .setScheduledThreadPoolMaxSize(SCHEDULED_THREADS)
        .setMessageExpiryScanPeriod(EXPIRY_SCAN_MILLIS)
        .setMqttSessionScanInterval(TimeUnit.SECONDS.toMillis(1))
        .setAddressSettings(Map.of("#", bounds))
        .setAcceptorConfigurations(Set.of(acceptor()));
  }

  private static TransportConfiguration acceptor() {
    Map<String, Object> network = new HashMap<>();
    network.put(TransportConstants.HOST_PROP_NAME, HOST);
    network.put(TransportConstants.PORT_PROP_NAME, 0);
    network.put(TransportConstants.PROTOCOLS_PROP_NAME, "MQTT");
    network.put(TransportConstants.CONNECTIONS_ALLOWED, MAX_CONNECTIONS);
    network.put(TransportConstants.REMOTING_THREADS_PROPNAME, NETWORK_THREADS);
    network.put(TransportConstants.USE_EPOLL_PROP_NAME, false);
    network.put(TransportConstants.USE_KQUEUE_PROP_NAME, false);
    network.put(TransportConstants.TCP_NODELAY_PROPNAME, true);
    Map<String, Object> protocol = Map.of("maximumPacketSize", MAX_PACKET_BYTES);
    return new TransportConfiguration(
        NettyAcceptorFactory.class.getName(), network, ACCEPTOR, protocol);
  }

  // A demo's screen is for the demo: the broker warns of every queue that has no dead letters.
  private static void quieten() {
    ILoggerFactory factory = LoggerFactory.getILoggerFactory();
    if (factory instanceof LoggerContext context) {
      for (String name : WORDY) {
        context.getLogger(name).setLevel(Level.ERROR);
      }
    }
  }
}
