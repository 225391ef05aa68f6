package org.kerftally.protocol.opcua;

import static org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned.uint;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import org.eclipse.milo.opcua.sdk.client.subscriptions.MonitoredItemSynchronizationException;
import org.eclipse.milo.opcua.sdk.client.subscriptions.OpcUaMonitoredItem;
import org.eclipse.milo.opcua.sdk.client.subscriptions.OpcUaSubscription;
import org.eclipse.milo.opcua.stack.core.UaException;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.NodeId;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.kerftally.protocol.LinkTap;
import org.kerftally.protocol.LinkTap.Way;

/**
 * Subscribes to every signal, only to be told that something changed.
 *
 * <p>A server samples, so values between two samples are lost, and what arrives together was not
 * sampled together. The values that come along are therefore not looked at: the link reads all
 * signals whenever this one stirs, and now and then although it does not.
 */
final class WakeUp {

  private WakeUp() {}

  /**
   * Subscribes. The subscription ends with the session.
   *
   * @param publishing how often the server samples and reports
   * @param onChange called on every report, from a thread of the library
   * @param onEnd called when the server gives the subscription up
   */
  static void subscribe(
      DeviceSession session,
      Map<String, NodeId> signals,
      Duration publishing,
      Runnable onChange,
      Runnable onEnd)
      throws LinkFault {
    subscribe(session, signals, publishing, onChange, onEnd, LinkTap.NONE);
  }

  /** Does the same, and tells a tap of every report. */
  static void subscribe(
      DeviceSession session,
      Map<String, NodeId> signals,
      Duration publishing,
      Runnable onChange,
      Runnable onEnd,
      LinkTap tap)
      throws LinkFault {
    double intervalMillis = publishing.toMillis();
    OpcUaSubscription subscription = new OpcUaSubscription(session.client(), intervalMillis);
    subscription.setSubscriptionListener(
        new OpcUaSubscription.SubscriptionListener() {
          @Override
          public void onDataReceived(
              OpcUaSubscription source, List<OpcUaMonitoredItem> items, List<DataValue> values) {
            tell(tap, items, values);
            onChange.run();
          }

          @Override
          public void onNotificationDataLost(OpcUaSubscription source) {
            onChange.run();
          }

          @Override
          public void onStatusChanged(OpcUaSubscription source, StatusCode status) {
            onEnd.run();
          }
        });
    try {
      subscription.create();
      signals.forEach(
          (signal, node) -> {
            OpcUaMonitoredItem item = OpcUaMonitoredItem.newDataItem(node);
            item.setSamplingInterval(intervalMillis);
            item.setQueueSize(uint(1));
            item.setUserObject(signal);
            subscription.addMonitoredItem(item);
          });
      subscription.synchronizeMonitoredItems();
    } catch (MonitoredItemSynchronizationException e) {
      throw new LinkFault(refused(e, session.url()), e);
    } catch (UaException e) {
      throw new LinkFault("subscribing: " + Answers.explain(e, session.url()), e);
    }
  }

  private static void tell(LinkTap tap, List<OpcUaMonitoredItem> items, List<DataValue> values) {
    for (int i = 0; tap.listens() && i < Math.min(items.size(), values.size()); i++) {
      String name = items.get(i).getUserObject().map(Object::toString).orElse("unknown");
      NodeId node = items.get(i).getReadValueId().getNodeId();
      tap.text(Way.FROM_DEVICE, "report", WireText.place(name, node), WireText.of(values.get(i)));
    }
  }

  private static String refused(MonitoredItemSynchronizationException failure, String url) {
    return failure.getCreateResults().stream()
        .filter(result -> !result.isGood())
        .findFirst()
        .map(
            result ->
                "signal "
                    + result.monitoredItem().getUserObject().map(Object::toString).orElse("unknown")
                    + ": "
                    + url
                    + " does not let it be subscribed ("
                    + result
                        .operationResult()
                        .map(SnapshotReader::name)
                        .orElse(SnapshotReader.name(result.serviceResult()))
                    + ")")
        .orElse("subscribing to " + url + " failed");
  }
}
