package org.kerftally.sim;

import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Consumer;
import org.kerftally.shared.device.LastCut;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Holds who listens to a device. One that throws is logged and kept, and the others still hear. */
final class Listeners {
  private static final Logger log = LoggerFactory.getLogger(Listeners.class);

  private final List<Runnable> change = new CopyOnWriteArrayList<>();
  private final List<Consumer<LastCut>> cut = new CopyOnWriteArrayList<>();
  private final List<Consumer<Boolean>> power = new CopyOnWriteArrayList<>();

  void onChange(Runnable listener) {
    change.add(listener);
  }

  void onCut(Consumer<LastCut> listener) {
    cut.add(listener);
  }

  void onPower(Consumer<Boolean> listener) {
    power.add(listener);
  }

  void changed() {
    change.forEach(Listeners::guarded);
  }

  void cut(LastCut made) {
    cut.forEach(listener -> guarded(() -> listener.accept(made)));
  }

  void power(boolean on) {
    power.forEach(listener -> guarded(() -> listener.accept(on)));
  }

  private static void guarded(Runnable listener) {
    try {
      listener.run();
    } catch (RuntimeException e) {
      log.warn("a listener of the simulated device failed", e);
    }
  }
}
