package org.kerftally.config;

import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import org.kerftally.config.wiring.MoveConfig;
import org.kerftally.config.wiring.Place;
import org.kerftally.config.wiring.PointConfig;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.StandIn;
import org.kerftally.config.wiring.WiringConfig;
import org.kerftally.shared.length.Length;

/** Makes wirings that the reader takes, each key of a point used now and then. */
final class RandomWiring {

  private final SplittableRandom random;
  private final boolean overOpcUa;
  private int places;

  RandomWiring(SplittableRandom random, boolean overOpcUa) {
    this.random = random;
    this.overOpcUa = overOpcUa;
  }

  /**
   * Returns a wiring.
   *
   * @param taken the names that are mapped elsewhere
   */
  WiringConfig next(Set<String> taken) {
    if (random.nextInt(3) == 0) {
      return WiringConfig.CONTRACT;
    }
    MoveConfig move = move();
    Map<Signal, PointConfig> signals = new LinkedHashMap<>();
    Set<StandIn> lacks = new LinkedHashSet<>();
    if (taken.stream().noneMatch(name -> name.startsWith("LastCut")) && random.nextBoolean()) {
      lacks.add(StandIn.LAST_CUT);
    }
    for (Signal signal : Signal.values()) {
      StandIn standIn = StandIn.of(signal);
      boolean bits = signal == Signal.GUARD_UP || signal == Signal.BLADE_IN;
      boolean never = bits || (overOpcUa && signal == Signal.ONLINE);
      if (never || taken.contains(signal.contractName()) || lacks.contains(standIn)) {
        continue;
      }
      if (standIn != null && mayLack(standIn, lacks, move) && random.nextInt(4) == 0) {
        lacks.add(standIn);
      } else if (!overOpcUa || isPress(signal) || random.nextBoolean()) {
        boolean countable = signal == Signal.CUT_COUNT && lacks.contains(StandIn.LAST_CUT);
        boolean counts = (countable || isPress(signal)) && random.nextBoolean();
        signals.put(signal, signal(signal.kind(), counts));
      }
    }
    return new WiringConfig(signals, lacks, move);
  }

  private static boolean isPress(Signal signal) {
    return signal == Signal.ACKNOWLEDGE_COUNT
        || signal == Signal.STICK_LOADED_COUNT
        || signal == Signal.DEFECT_COUNT;
  }

  /** What the reader takes: no boot id made up beside a last cut of the device's own. */
  private boolean mayLack(StandIn standIn, Set<StandIn> lacks, MoveConfig move) {
    boolean isContract = move.how() == MoveConfig.How.CONTRACT;
    return switch (standIn) {
      case LAST_CUT -> false;
      case BOOT_ID -> lacks.contains(StandIn.LAST_CUT);
      case ACTIVE_SEQUENCE -> overOpcUa && !isContract;
      case TARGET_REACHED -> !isContract;
      default -> true;
    };
  }

  private PointConfig signal(Signal.Kind kind, boolean counts) {
    boolean flag = kind == Signal.Kind.FLAG || kind == Signal.Kind.CODE || counts;
    boolean length = kind == Signal.Kind.POSITION;
    boolean bits = flag || kind == Signal.Kind.NUMBER || kind == Signal.Kind.STATE;
    Map<String, String> values =
        kind == Signal.Kind.STATE && random.nextBoolean()
            ? Map.of("at \"home\"", "idle", "3", "blade-out")
            : Map.of();
    Long mask = bits && random.nextBoolean() ? Long.valueOf(1L << random.nextInt(63)) : null;
    String wanted = mask == null ? "it's \"on\"" : mask.toString();
    return new PointConfig(
        place(),
        overOpcUa && random.nextBoolean() ? "UInt16" : null,
        mask,
        flag && random.nextBoolean() ? wanted : null,
        flag && random.nextBoolean(),
        values,
        length && random.nextBoolean() ? Length.ofNm(random.nextLong(1, 1_000_000_000)) : null,
        length && random.nextBoolean(),
        counts ? PointConfig.Edge.FALLING : null,
        null);
  }

  private MoveConfig move() {
    List<MoveConfig.How> ways =
        overOpcUa
            ? List.of(MoveConfig.How.CONTRACT, MoveConfig.How.STROBE, MoveConfig.How.PLCOPEN)
            : List.of(MoveConfig.How.MESSAGE, MoveConfig.How.SEQUENCE, MoveConfig.How.STROBE);
    MoveConfig.How how = ways.get(random.nextInt(ways.size()));
    Map<String, PointConfig> points = new LinkedHashMap<>();
    for (String name : how.required()) {
      points.put(name, name.equals("command") ? command() : PointConfig.plain(sent()));
    }
    return new MoveConfig(how, points, how == MoveConfig.How.STROBE && random.nextBoolean());
  }

  private PointConfig command() {
    return new PointConfig(
        sent(),
        null,
        null,
        null,
        false,
        Map.of(),
        Length.ofNm(1_000),
        random.nextBoolean(),
        null,
        "{\"to\":{position},\"id\":{sequence}}");
  }

  private Place sent() {
    return overOpcUa ? place() : new Place.Topic("plant/" + ++places, null);
  }

  private Place place() {
    int number = ++places;
    if (!overOpcUa) {
      return new Place.Topic("plant/" + number, random.nextBoolean() ? "/a b/" + number : null);
    }
    return random.nextBoolean()
        ? new Place.Node("nsu=urn:x:1;s=a \"b\" " + number)
        : new Place.BrowsePath(
            random.nextBoolean() ? "urn:x:2" : null, List.of("Machine", "Axis " + number));
  }
}
