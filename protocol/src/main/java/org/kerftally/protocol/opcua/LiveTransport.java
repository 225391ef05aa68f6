package org.kerftally.protocol.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import com.digitalpetri.netty.fsm.State;
import io.netty.channel.Channel;
import java.time.Duration;
import java.util.concurrent.CompletableFuture;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UInteger;
import org.eclipse.milo.opcua.stack.core.util.Unit;
import org.eclipse.milo.opcua.stack.transport.client.ClientApplicationContext;
import org.eclipse.milo.opcua.stack.transport.client.tcp.OpcTcpClientTransport;
import org.eclipse.milo.opcua.stack.transport.client.tcp.OpcTcpClientTransportConfig;
import org.jspecify.annotations.Nullable;

/**
 * Sends a request on the connection that stands at this moment, or fails it at once.
 *
 * <p>The transport it extends parks a request while it reconnects and sends it afterwards. For a
 * position that would move a stop minutes later, in front of somebody who has stopped waiting for
 * it. With this transport nothing at all can be parked.
 */
final class LiveTransport extends OpcTcpClientTransport {

  private volatile @Nullable Throwable refusal;

  private LiveTransport(OpcTcpClientTransportConfig config) {
    super(config);
  }

  /** Returns a transport that gives a connection {@code timeout} to be made. */
  static LiveTransport create(Duration timeout, Duration channelLifetime) {
    UInteger millis = uint(timeout.toMillis());
    return new LiveTransport(
        OpcTcpClientTransportConfig.newBuilder()
            .setConnectTimeout(millis)
            .setAcknowledgeTimeout(millis)
            .setChannelLifetime(uint(channelLifetime.toMillis()))
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

  /** Remembers why no connection came about: the library goes on without saying so. */
  @Override
  public CompletableFuture<Unit> connect(ClientApplicationContext context) {
    return super.connect(context)
        .whenComplete(
            (unit, failure) -> {
              if (failure != null) {
                refusal = failure;
              }
            });
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
    Throwable why = refusal;
    return CompletableFuture.failedFuture(
        why != null
            ? why
            : new UaException(StatusCodes.Bad_NotConnected, "the connection is gone"));
  }
}
