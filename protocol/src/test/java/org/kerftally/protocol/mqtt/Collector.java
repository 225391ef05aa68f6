package org.kerftally.protocol.mqtt;

import java.nio.charset.StandardCharsets;
import java.util.Queue;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;

/** Keeps the text of every message a client receives. */
record Collector(Queue<String> messages) implements MqttCallback {

  @Override
  public void messageArrived(String topic, MqttMessage message) {
    messages.add(new String(message.getPayload(), StandardCharsets.UTF_8));
  }

  @Override
  public void disconnected(MqttDisconnectResponse response) {}

  @Override
  public void mqttErrorOccurred(MqttException e) {}

  @Override
  public void deliveryComplete(IMqttToken token) {}

  @Override
  public void connectComplete(boolean reconnect, String uri) {}

  @Override
  public void authPacketArrived(int reasonCode, MqttProperties properties) {}
}
