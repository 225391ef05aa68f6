package org.kerftally.daemon.service;

import java.util.function.Consumer;
import org.kerftally.protocol.PositionerLink;
import org.kerftally.shared.device.LinkEvent;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.device.Target;

/** A link to a device that is not there. */
final class SilentLink implements PositionerLink {

  @Override
  public void start(Consumer<LinkEvent> sink) {}

  @Override
  public boolean send(Target target) {
    return false;
  }

  @Override
  public void show(Prompt prompt) {}

  @Override
  public void close() {}
}
