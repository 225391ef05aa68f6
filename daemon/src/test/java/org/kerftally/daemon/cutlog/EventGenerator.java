package org.kerftally.daemon.cutlog;

import java.lang.reflect.Constructor;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.math.BigDecimal;
import java.math.BigInteger;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.length.Length;

/**
 * Makes random events of any type, sensible or not: every field takes any value its type allows. A
 * type without a generator is an error, so a new kind of event cannot slip by.
 */
public final class EventGenerator {

  private static final int MAX_LIST = 4;
  private static final int MOST_TRIES = 1_000;
  private static final String[] TEXTS = {
    "",
    "top bar",
    "Beute \u00e4\u00f6\u00fc",
    "quote \" and \\ and /",
    "line\nbreak\ttab",
    "\u0000",
    "\ud83d\udc1d",
    "null",
    "1e5",
    "\u2028",
    "x".repeat(300)
  };

  private final SplittableRandom random;
  private final Map<Class<?>, Function<SplittableRandom, Object>> scalars = new HashMap<>();

  public EventGenerator(long seed) {
    random = new SplittableRandom(seed);
    scalars.put(String.class, r -> TEXTS[r.nextInt(TEXTS.length)]);
    scalars.put(boolean.class, SplittableRandom::nextBoolean);
    scalars.put(long.class, EventGenerator::anyLong);
    scalars.put(int.class, r -> (int) anyLong(r));
    scalars.put(Integer.class, r -> (int) anyLong(r));
    scalars.put(Length.class, r -> Length.ofNm(anyLong(r)));
    scalars.put(
        BigDecimal.class, r -> new BigDecimal(BigInteger.valueOf(anyLong(r)), r.nextInt(-5, 12)));
    scalars.put(
        Instant.class,
        r ->
            Instant.ofEpochSecond(
                r.nextLong(-10_000_000_000L, 10_000_000_000L), r.nextInt(1_000_000_000)));
    scalars.put(Boolean.class, SplittableRandom::nextBoolean);
    scalars.put(Long.class, EventGenerator::anyLong);
    scalars.put(Duration.class, r -> Duration.ofSeconds(r.nextInt(), r.nextInt(1_000_000_000)));
    scalars.put(LocalDate.class, r -> LocalDate.ofEpochDay(r.nextInt(-100_000, 100_000)));
  }

  private static long anyLong(SplittableRandom r) {
    return switch (r.nextInt(6)) {
      case 0 -> 0;
      case 1 -> Long.MAX_VALUE;
      case 2 -> Long.MIN_VALUE;
      case 3 -> r.nextLong();
      default -> r.nextLong(-5, 5_000_000_000L);
    };
  }

  /** Returns every type of event there is. */
  static List<Class<? extends Event>> types() {
    List<Class<? extends Event>> types = new ArrayList<>();
    collect(Event.class, types);
    return types;
  }

  private static void collect(Class<? extends Event> type, List<Class<? extends Event>> types) {
    if (type.isRecord()) {
      types.add(type);
      return;
    }
    for (Class<?> sub : type.getPermittedSubclasses()) {
      collect(sub.asSubclass(Event.class), types);
    }
  }

  /** Returns a random event of one type. */
  Event next(Class<? extends Event> type) {
    return (Event) ofRecord(type);
  }

  /** Returns a random value of a record or of a closed set of them, valid as its type says. */
  public Object any(Class<?> type) {
    return of(type);
  }

  private Object ofRecord(Class<?> type) {
    IllegalArgumentException last = null;
    for (int i = 0; i < MOST_TRIES; i++) {
      try {
        return anyOf(type);
      } catch (IllegalArgumentException e) {
        last = e;
      }
    }
    throw new AssertionError("no valid " + type, last);
  }

  private Object anyOf(Class<?> type) {
    RecordComponent[] components = type.getRecordComponents();
    Object[] values = new Object[components.length];
    for (int i = 0; i < components.length; i++) {
      boolean mayBeNull = components[i].getAnnotatedType().isAnnotationPresent(Nullable.class);
      values[i] = mayBeNull && random.nextInt(3) == 0 ? null : of(components[i].getGenericType());
    }
    Class<?>[] types =
        Arrays.stream(components).map(RecordComponent::getType).toArray(Class<?>[]::new);
    try {
      Constructor<?> constructor = type.getDeclaredConstructor(types);
      constructor.setAccessible(true);
      return constructor.newInstance(values);
    } catch (InvocationTargetException e) {
      throw new IllegalArgumentException(e);
    } catch (ReflectiveOperationException e) {
      throw new LinkageError("cannot make a " + type, e);
    }
  }

  private Object of(Type type) {
    if (type instanceof ParameterizedType list && list.getRawType() == List.class) {
      List<Object> items = new ArrayList<>();
      for (int i = random.nextInt(MAX_LIST); i > 0; i--) {
        items.add(of(list.getActualTypeArguments()[0]));
      }
      return items;
    }
    if (type instanceof ParameterizedType map && map.getRawType() == Map.class) {
      Map<Object, Object> entries = new HashMap<>();
      for (int i = random.nextInt(MAX_LIST); i > 0; i--) {
        Object key = of(map.getActualTypeArguments()[0]);
        entries.put(key, of(map.getActualTypeArguments()[1]));
      }
      return entries;
    }
    if (type instanceof Class<?> plain) {
      if (scalars.containsKey(plain)) {
        return scalars.get(plain).apply(random);
      }
      if (plain.isEnum()) {
        return plain.getEnumConstants()[random.nextInt(plain.getEnumConstants().length)];
      }
      if (plain.isRecord()) {
        return ofRecord(plain);
      }
      if (plain.isSealed()) {
        Class<?>[] kinds = plain.getPermittedSubclasses();
        return of(kinds[random.nextInt(kinds.length)]);
      }
    }
    throw new AssertionError("no generator for " + type);
  }
}
