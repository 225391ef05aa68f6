package org.kerftally.sim.opcua;

import java.time.Clock;
import java.time.Duration;
import org.eclipse.milo.opcua.sdk.server.OpcUaServer;
import org.eclipse.milo.opcua.sdk.server.servicesets.impl.DefaultMethodServiceSet;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.types.structured.CallRequest;
import org.eclipse.milo.opcua.stack.core.types.structured.CallResponse;
import org.eclipse.milo.opcua.stack.core.types.structured.RequestHeader;
import org.eclipse.milo.opcua.stack.transport.server.ServiceRequestContext;

/**
 * Refuses a call that comes later than its sender waits for it.
 *
 * <p>A request carries when it was made and how long its sender waits (OPC 10000-4, 7.33,
 * RequestHeader: timestamp and timeoutHint). A stalled network can hold it back for longer; the
 * target in it is void by then, and must not move anything. Sender and device are on one machine
 * here, so their clocks agree.
 */
final class PunctualCalls extends DefaultMethodServiceSet {

  private final Clock clock;

  PunctualCalls(OpcUaServer server, Clock clock) {
    super(server);
    this.clock = clock;
  }

  @Override
  public CallResponse onCall(ServiceRequestContext context, CallRequest request)
      throws UaException {
    RequestHeader header = request.getRequestHeader();
    long limitMillis = header.getTimeoutHint().longValue();
    Duration age = Duration.between(header.getTimestamp().getJavaInstant(), clock.instant());
    if (limitMillis > 0 && age.toMillis() > limitMillis) {
      throw new UaException(StatusCodes.Bad_Timeout, "the call came " + age + " after it was made");
    }
    return super.onCall(context, request);
  }
}
