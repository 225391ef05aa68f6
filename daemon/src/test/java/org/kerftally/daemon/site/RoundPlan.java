package org.kerftally.daemon.site;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;

/**
 * Says what a round does, all of it told by one seed.
 *
 * @param seed the seed
 * @param link the protocol
 * @param speed how much faster than a real one the device is
 * @param rejectPercent how many of a hundred pieces are rejected
 * @param parts the job's parts, {@code name,length,qty,material}
 * @param pieces how many pieces that is
 * @param blows what befalls it, in order
 */
record RoundPlan(
    long seed,
    Link link,
    int speed,
    int rejectPercent,
    List<String> parts,
    int pieces,
    List<Blow> blows) {

  private static final Duration MOST_TROUBLE = Duration.ofSeconds(4);
  private static final int MOST_LATER_MILLIS = 300;

  /** Long enough for whatever was killed last to be back, or nearly so. */
  private static final int MOST_AT_ONCE_MILLIS = 5_000;

  private static final int MOST_REST_MILLIS = 1_500;

  /** The protocols. */
  enum Link {
    OPCUA,
    MQTT;

    String word() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  /** What can die. */
  enum Victim {
    DAEMON,
    DEVICE,
    BROKER
  }

  /** One thing that goes wrong. */
  sealed interface Blow {
    /** Returns how many saw cycles come before it. */
    int afterCuts();

    /** Returns how long after them it strikes, so that it strikes at any point of a cycle. */
    int laterMillis();

    /** A process is killed and started again after a rest. */
    record Kill(int afterCuts, int laterMillis, Victim victim, int restMillis) implements Blow {}

    /**
     * A link has trouble.
     *
     * @param leg which of the connections, counted round
     */
    record Trouble(int afterCuts, int laterMillis, LinkTrouble trouble, int leg) implements Blow {}

    /**
     * A link has trouble, and meanwhile a process is killed.
     *
     * @param leg which of the connections, counted round
     */
    record Both(int afterCuts, int laterMillis, LinkTrouble trouble, int leg, Kill kill)
        implements Blow {}
  }

  /** Draws a round. */
  static RoundPlan of(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    Link link = seed % 2 == 0 ? Link.OPCUA : Link.MQTT;
    int speed = random.nextInt(40, 120);
    int rejectPercent = random.nextInt(3) == 0 ? 0 : random.nextInt(2, 12);
    List<String> parts = new ArrayList<>();
    int pieces = 0;
    for (int i = 1; i <= 3; i++) {
      int quantity = random.nextInt(4, 10);
      pieces += quantity;
      int length = i * 200 + random.nextInt(150);
      parts.add("bar " + i + "," + length + "," + quantity + ",pine-19x146");
    }
    List<Blow> blows = new ArrayList<>();
    int cuts = 0;
    for (int i = random.nextInt(3, 6); i > 0; i--) {
      // One in three strikes while what the last one did is still being mended.
      boolean atOnce = random.nextInt(3) == 0;
      cuts += atOnce ? 0 : random.nextInt(1, Math.max(2, pieces / 4));
      int later = random.nextInt(atOnce ? MOST_AT_ONCE_MILLIS : MOST_LATER_MILLIS);
      blows.add(blow(random, link, cuts, later));
    }
    return new RoundPlan(
        seed, link, speed, rejectPercent, List.copyOf(parts), pieces, List.copyOf(blows));
  }

  private static Blow blow(SplittableRandom random, Link link, int cuts, int later) {
    return switch (random.nextInt(5)) {
      case 0, 1 -> kill(random, link, cuts, later);
      case 2, 3 ->
          new Blow.Trouble(cuts, later, LinkTrouble.draw(random, MOST_TROUBLE), random.nextInt(2));
      default ->
          new Blow.Both(
              cuts,
              later,
              LinkTrouble.draw(random, MOST_TROUBLE),
              random.nextInt(2),
              kill(random, link, cuts, random.nextInt(MOST_LATER_MILLIS)));
    };
  }

  private static Blow.Kill kill(SplittableRandom random, Link link, int cuts, int later) {
    Victim[] victims =
        link == Link.MQTT ? Victim.values() : new Victim[] {Victim.DAEMON, Victim.DEVICE};
    Victim victim = victims[random.nextInt(victims.length)];
    return new Blow.Kill(cuts, later, victim, random.nextInt(MOST_REST_MILLIS));
  }
}
