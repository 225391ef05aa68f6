package org.kerftally.daemon.site;

import java.time.Duration;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.random.RandomGenerator;
import org.kerftally.daemon.site.FaultProxy.Weather;

/**
 * Names one trouble of a network, and how long it lasts; a cut lasts no time.
 *
 * @param kind its name
 * @param weather what the proxy does meanwhile
 * @param length how long
 */
record LinkTrouble(String kind, Weather weather, Duration length) {

  /** The kinds there are. */
  static final List<String> KINDS = List.of("cut", "away", "half-open", "slow", "narrow");

  /** Draws one; {@code most} bounds its length. */
  static LinkTrouble draw(RandomGenerator random, Duration most) {
    String kind = KINDS.get(random.nextInt(KINDS.size()));
    Duration length = Duration.ofMillis(random.nextLong(most.toMillis() / 10, most.toMillis()));
    return switch (kind) {
      case "cut" -> new LinkTrouble(kind, new Weather.Away(), Duration.ZERO);
      case "away" -> new LinkTrouble(kind, new Weather.Away(), length);
      case "half-open" -> new LinkTrouble(kind, new Weather.HalfOpen(), length);
      case "slow" -> new LinkTrouble(kind, new Weather.Slow(random.nextInt(20, 300)), length);
      default -> new LinkTrouble(kind, new Weather.Narrow(random.nextInt(800, 8_000)), length);
    };
  }

  /** Lets it befall a connection, and returns when it is over. */
  void befall(FaultProxy proxy) throws InterruptedException {
    if (length.isZero()) {
      proxy.cut();
      return;
    }
    proxy.turn(weather);
    TimeUnit.MILLISECONDS.sleep(length.toMillis());
    proxy.clear();
  }
}
