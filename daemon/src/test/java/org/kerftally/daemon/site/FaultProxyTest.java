package org.kerftally.daemon.site;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.SocketTimeoutException;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.kerftally.daemon.site.FaultProxy.Weather;

/** The network that fails when told does so, and not otherwise. */
final class FaultProxyTest {

  private static final int PATIENCE_MILLIS = 20_000;
  private static final int SILENCE_MILLIS = 300;

  private ServerSocket server;
  private FaultProxy proxy;
  private Socket client;
  private Socket served;

  @BeforeEach
  void connect() throws IOException {
    server = new ServerSocket(0, 8, InetAddress.getLoopbackAddress());
    server.setSoTimeout(PATIENCE_MILLIS);
    proxy = new FaultProxy(server.getLocalPort());
    client = new Socket(InetAddress.getLoopbackAddress(), proxy.port());
    client.setSoTimeout(PATIENCE_MILLIS);
    served = server.accept();
    served.setSoTimeout(PATIENCE_MILLIS);
  }

  @AfterEach
  void close() throws IOException {
    client.close();
    served.close();
    proxy.close();
    server.close();
  }

  private void expectByte(int value) throws IOException {
    assertThat(served.getInputStream().read()).isEqualTo(value);
  }

  @Test
  void passesInBothDirections() throws IOException {
    client.getOutputStream().write(7);
    expectByte(7);
    served.getOutputStream().write(8);
    assertThat(client.getInputStream().read()).isEqualTo(8);
  }

  @Test
  void holdsBackWhileHalfOpenAndDeliversAfterwardsThoughTheSenderHasGone() throws IOException {
    proxy.turn(new Weather.HalfOpen());
    client.getOutputStream().write(7);
    client.close();
    served.setSoTimeout(SILENCE_MILLIS);
    assertThatThrownBy(() -> served.getInputStream().read())
        .isInstanceOf(SocketTimeoutException.class);

    served.setSoTimeout(PATIENCE_MILLIS);
    proxy.clear();
    expectByte(7);
    expectByte(-1);
  }

  @Test
  void deliversAllOfItSlowAndNarrow() throws IOException {
    for (Weather weather : new Weather[] {new Weather.Slow(50), new Weather.Narrow(50)}) {
      proxy.turn(weather);
      client.getOutputStream().write(new byte[] {1, 2, 3});
      expectByte(1);
      expectByte(2);
      expectByte(3);
    }
  }

  @Test
  void cutsWhatStandsAndRefusesWhileAway() throws IOException {
    proxy.turn(new Weather.Away());
    assertThat(client.getInputStream().read()).isEqualTo(-1);
    try (Socket tried = new Socket(InetAddress.getLoopbackAddress(), proxy.port())) {
      tried.setSoTimeout(PATIENCE_MILLIS);
      assertThat(tried.getInputStream().read()).isEqualTo(-1);
    }

    proxy.clear();
    try (Socket again = new Socket(InetAddress.getLoopbackAddress(), proxy.port());
        Socket taken = server.accept()) {
      again.getOutputStream().write(9);
      assertThat(taken.getInputStream().read()).isEqualTo(9);
    }
  }
}
