package org.kerftally.protocol.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import com.digitalpetri.netty.fsm.State;
import io.netty.channel.Channel;
import java.time.Duration;
import java.util.concurrent.CompletableFuture;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UInteger;
import org.eclipse.milo.opcua.stack.transport.client.tcp.OpcTcpClientTransport;
import org.eclipse.milo.opcua.stack.transport.client.tcp.OpcTcpClientTransportConfig;

/**
 * Sends a request on the connection that stands at this moment, or fails it at once.
 *
 * <p>The transport it extends parks a request while it reconnects and sends it afterwards. For a
 * position that would move a stop minutes later, in front of somebody who has stopped waiting for
 * it. With this transport nothing at all can be parked.
 */
final class LiveTransport extends OpcTcpClientTransport {

  private LiveTransport(OpcTcpClientTransportConfig config) {
    super(config);
  }

  /** Returns a transport that gives a connection {@code timeout} to be made. */
  static LiveTransport create(Duration timeout) {
    UInteger millis = uint(timeout.toMillis());
    return new LiveTransport(
        OpcTcpClientTransportConfig.newBuilder()
            .setConnectTimeout(millis)
            .setAcknowledgeTimeout(millis)
            .build());
  }

  /** Tells whether a connection stands. */
  boolean isConnected() {
    return getChannelFsm().getState() == State.Connected;
  }

  /** Lets the connection go and never makes another. Does not wait for it. */
  void abandon() {
    Answers.ignore(disconnect());
  }

  @Override
  protected CompletableFuture<Channel> getChannel() {
    if (isConnected()) {
      // Between the two calls the connection may go. Then the future is not done, or has failed.
      CompletableFuture<Channel> channel = super.getChannel();
      if (channel.isDone()) {
        return channel;
      }
    }
    return CompletableFuture.failedFuture(
        new UaException(StatusCodes.Bad_NotConnected, "the connection is gone"));
  }
}
