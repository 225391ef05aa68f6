package org.kerftally.daemon.codec;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.lang.reflect.Constructor;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Iterator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.function.UnaryOperator;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Writes and reads a record as a JSON object, strictly.
 *
 * <p>The vocabulary of events lives in a module that knows no JSON, so nothing there can be
 * annotated, and a general data binder is too forgiving for the one file that must be right after
 * years: it would put null where the code says there is none, and take a method that was added for
 * convenience as a new field. So the format follows from the record alone:
 *
 * <ul>
 *   <li>a field's name is the component's name in snake case; a length's ends in {@code _nm};
 *   <li>a component marked {@code @Nullable} is left out when null, and may be missing: that is how
 *       a field is added later;
 *   <li>every other component must be there; a field that is not known is an error.
 * </ul>
 *
 * Immutable and safe for any thread.
 */
public final class RecordFormat implements ValueFormat {

  private final Constructor<?> constructor;
  private final List<Field> fields;
  private final Set<String> names;

  /** Looks a record type over, with all the types in it. */
  public RecordFormat(Class<?> type) {
    this(type, UnaryOperator.identity());
  }

  /**
   * Looks a record type over, with all the types in it.
   *
   * @param texts what to write in the place of each text; words of enums, times and the names of
   *     fields are no texts
   */
  public RecordFormat(Class<?> type, UnaryOperator<String> texts) {
    RecordComponent[] components = type.getRecordComponents();
    Class<?>[] types =
        Arrays.stream(components).map(RecordComponent::getType).toArray(Class<?>[]::new);
    try {
      constructor = type.getDeclaredConstructor(types);
    } catch (NoSuchMethodException e) {
      throw new IllegalStateException("not a record: " + type, e);
    }
    // A record may be known to its own package alone and still be kept whole.
    constructor.setAccessible(true);
    fields = Arrays.stream(components).map(c -> Field.of(c, texts)).toList();
    names = fields.stream().map(Field::name).collect(Collectors.toUnmodifiableSet());
  }

  @Override
  public void write(Object value, JsonGenerator out) throws IOException {
    out.writeStartObject();
    for (Field field : fields) {
      Object part = field.valueIn(value);
      if (part != null) {
        out.writeFieldName(field.name);
        field.format.write(part, out);
      } else if (!field.nullable) {
        throw new IllegalStateException(field.name + " must not be null in " + value);
      }
    }
    out.writeEndObject();
  }

  @Override
  public Object read(JsonNode node, String path) throws FormatException {
    if (!node.isObject()) {
      throw new FormatException(path, "expected an object, found " + ScalarFormat.shown(node));
    }
    for (Iterator<String> found = node.fieldNames(); found.hasNext(); ) {
      String name = found.next();
      if (!names.contains(name)) {
        throw new FormatException(path + "." + name, "no such field is known to this version");
      }
    }
    List<@Nullable Object> values = new ArrayList<>(fields.size());
    for (Field field : fields) {
      values.add(field.readFrom(node, path));
    }
    try {
      return constructor.newInstance(values.toArray());
    } catch (InvocationTargetException e) {
      throw new FormatException(path, "refused: " + e.getTargetException().getMessage());
    } catch (ReflectiveOperationException e) {
      throw new IllegalStateException("cannot build " + constructor, e);
    }
  }

  private record Field(String name, boolean nullable, ValueFormat format, Method accessor) {

    static Field of(RecordComponent component, UnaryOperator<String> texts) {
      Method accessor = component.getAccessor();
      accessor.setAccessible(true);
      return new Field(
          fieldName(component),
          component.getAnnotatedType().isAnnotationPresent(Nullable.class),
          formatOf(component.getGenericType(), texts),
          accessor);
    }

    @Nullable Object valueIn(Object whole) {
      try {
        return accessor.invoke(whole);
      } catch (ReflectiveOperationException e) {
        throw new IllegalStateException("cannot read " + accessor, e);
      }
    }

    @Nullable Object readFrom(JsonNode object, String path) throws FormatException {
      JsonNode node = object.path(name);
      if (!node.isMissingNode() && !node.isNull()) {
        return format.read(node, path + "." + name);
      }
      if (!nullable) {
        throw new FormatException(path + "." + name, "missing");
      }
      return null;
    }
  }

  private static String fieldName(RecordComponent component) {
    String snake = component.getName().replaceAll("([A-Z])", "_$1").toLowerCase(Locale.ROOT);
    return component.getType() == Length.class ? snake + "_nm" : snake;
  }

  static ValueFormat formatOf(Type type, UnaryOperator<String> texts) {
    if (type instanceof ParameterizedType list && list.getRawType() == List.class) {
      return new ListFormat(formatOf(list.getActualTypeArguments()[0], texts));
    }
    if (type instanceof ParameterizedType map && map.getRawType() == Map.class) {
      Type[] of = map.getActualTypeArguments();
      return new MapFormat(formatOf(of[0], texts), formatOf(of[1], texts));
    }
    if (type == String.class) {
      return ScalarFormat.text(texts);
    }
    if (type instanceof Class<?> plain) {
      ValueFormat scalar = ScalarFormat.BY_TYPE.get(plain);
      if (scalar != null) {
        return scalar;
      }
      if (plain.isEnum()) {
        return new WordFormat(plain);
      }
      if (plain.isRecord()) {
        return new RecordFormat(plain, texts);
      }
      if (plain.isSealed()) {
        return new KindFormat(plain, texts);
      }
    }
    throw new IllegalStateException("there is no format for " + type);
  }
}
