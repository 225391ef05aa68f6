package org.kerftally.daemon.planning.bench;

import java.math.BigDecimal;
import java.util.Arrays;
import java.util.Locale;
import java.util.SplittableRandom;
import java.util.function.BiFunction;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.planning.PlanRequest;
import org.kerftally.daemon.planning.packing.Instance;

/** Names the classes of instances that can be made; the same seed makes the same instances. */
public enum GeneratedClass {
  /** Uniform sizes, Falkenauer 1996. */
  FALKENAUER_U(PublishedGenerators::falkenauerUniform),
  /** Triplets that fill each stick, Falkenauer 1996. */
  FALKENAUER_T(PublishedGenerators::falkenauerTriplets),
  /** Small sticks, Scholl, Klein and Jürgens 1997. */
  SCHOLL_1(PublishedGenerators::schollOne),
  /** Sizes about a mean, Scholl, Klein and Jürgens 1997. */
  SCHOLL_2(PublishedGenerators::schollTwo),
  /** Very long sticks, Scholl, Klein and Jürgens 1997. */
  SCHOLL_3((random, n) -> PublishedGenerators.schollThree(random)),
  /** A hundred pieces of near size, Schwerin and Wäscher 1997. */
  SCHWERIN_1((random, n) -> PublishedGenerators.schwerin(random, 100)),
  /** The same with 120 pieces. */
  SCHWERIN_2((random, n) -> PublishedGenerators.schwerin(random, 120)),
  /** Demands by chance, Gau and Wäscher 1995. */
  CUTGEN1(PublishedGenerators::cutgen),
  /** Many parameters, Delorme, Iori and Martello 2016. */
  RANDOM(PublishedGenerators::random),
  /** Several stick lengths, Monaci 2002. */
  MONACI(PublishedGenerators::monaci),
  /** A shop's job with one stock length. */
  SHOP_SINGLE(null, ShopJobs::single),
  /** The same in inches. */
  SHOP_INCH(null, ShopJobs::inch),
  /** A shop's job with three stock lengths at odd prices. */
  SHOP_MULTI(null, ShopJobs::multi),
  /** A shop's job with a rack of offcuts. */
  SHOP_OFFCUT(null, ShopJobs::offcut);

  /** The most instances made at once. */
  public static final int MOST = 100_000;

  // References to static methods: nothing that could change.
  @SuppressWarnings("ImmutableEnumChecker")
  private final @Nullable BiFunction<SplittableRandom, Integer, Instance> packed;

  @SuppressWarnings("ImmutableEnumChecker")
  private final @Nullable BiFunction<SplittableRandom, Integer, PlanRequest> job;

  GeneratedClass(BiFunction<SplittableRandom, Integer, Instance> packed) {
    this(packed, null);
  }

  GeneratedClass(
      @Nullable BiFunction<SplittableRandom, Integer, Instance> packed,
      @Nullable BiFunction<SplittableRandom, Integer, PlanRequest> job) {
    this.packed = packed;
    this.job = job;
  }

  /** Returns the name on the command line. */
  public String key() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** Returns the class of a name, or {@code null}. */
  public static @Nullable GeneratedClass of(String key) {
    return Arrays.stream(values()).filter(c -> c.key().equals(key)).findFirst().orElse(null);
  }

  /** Returns all names. */
  public static String keys() {
    return Arrays.stream(values()).map(GeneratedClass::key).collect(Collectors.joining(", "));
  }

  /** Makes the {@code n}-th instance of a seed, counted from 0. */
  public BenchCase make(long seed, int n) {
    SplittableRandom random = new SplittableRandom(seed * 1_000_003 + n);
    String name = key() + "-" + seed + "-" + n;
    if (job != null) {
      return new BenchCase.Job(name, key(), job.apply(random, n), null);
    }
    if (packed == null) {
      throw new IllegalStateException("neither instance nor job: " + this);
    }
    Instance instance = packed.apply(random, n);
    BigDecimal optimum = this == FALKENAUER_T ? BigDecimal.valueOf(instance.pieces() / 3) : null;
    return new BenchCase.Packed(name, key(), instance, optimum);
  }
}
