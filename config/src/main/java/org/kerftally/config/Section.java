package org.kerftally.config;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.yaml.snakeyaml.nodes.MappingNode;
import org.yaml.snakeyaml.nodes.Node;
import org.yaml.snakeyaml.nodes.NodeTuple;
import org.yaml.snakeyaml.nodes.ScalarNode;
import org.yaml.snakeyaml.nodes.SequenceNode;

/**
 * Reads one mapping of the file, key by key, and reports whatever is wrong with it.
 *
 * <p>A reading never stops at the first problem: a value that is absent or wrong reads as {@code
 * null}, the problem is in the findings with its line and path, and the caller goes on. Keys that
 * are doubled or not known are reported when the section is opened, so each key can be asked for
 * once or not at all. A key that is asked for but not in the list of known keys is a programmer's
 * error: the lists are what the schema is checked against.
 */
final class Section {

  private final Findings findings;
  private final String path;
  private final int line;
  private final @Nullable Set<String> known;
  private final Map<String, Field> fields = new LinkedHashMap<>();

  /** Keys that an unknown one probably meant: reporting them as missing too would only confuse. */
  private final Set<String> meant = new HashSet<>();

  /** A key with its value; {@code line} is the key's. */
  private record Field(String path, int line, Node value) {

    int valueLine() {
      return isEmpty(value) ? line : lineOf(value);
    }
  }

  private Section(
      Findings findings, String path, int line, MappingNode node, @Nullable List<String> known) {
    this.findings = findings;
    this.path = path;
    this.line = line;
    this.known = known == null ? null : Set.copyOf(known);
    for (NodeTuple tuple : node.getValue()) {
      add(tuple, known);
    }
  }

  /** Opens the root of a file, or returns {@code null} with a problem added. */
  static @Nullable Section root(Node node, Findings findings, List<String> known) {
    if (node instanceof MappingNode mapping) {
      return new Section(findings, "", lineOf(node), mapping, known);
    }
    findings.add(
        lineOf(node), null, "found " + sort(node) + ", expected keys", "Example: `folder: site`");
    return null;
  }

  private void add(NodeTuple tuple, @Nullable List<String> known) {
    int keyLine = lineOf(tuple.getKeyNode());
    if (!(tuple.getKeyNode() instanceof ScalarNode key) || isEmpty(key)) {
      findings.add(
          keyLine, path.isEmpty() ? null : path, "found a key that is no word", "Name the key");
      return;
    }
    String name = key.getValue();
    String shown = Found.quote(name);
    String keyPath = childPath(shown.equals('"' + name + '"') ? name : shown);
    Field first = fields.get(name);
    if (first != null) {
      findings.add(
          keyLine,
          keyPath,
          "found the key " + shown + " again, first in line " + first.line(),
          "Keep one of the two");
    } else if (known != null && !known.contains(name)) {
      findings.add(keyLine, keyPath, "found the unknown key " + shown, mendOfUnknown(name, known));
    } else {
      fields.put(name, new Field(keyPath, keyLine, tuple.getValueNode()));
      findings.give(keyPath);
    }
  }

  private String childPath(String key) {
    return path.isEmpty() ? key : path + "." + key;
  }

  private String mendOfUnknown(String name, List<String> known) {
    String all = "Known here: " + String.join(", ", known);
    if (name.equals("<<")) {
      return "Merged mappings are not read: write the keys out, or alias whole values";
    }
    if (!name.isEmpty() && Character.isDigit(name.charAt(0))) {
      return "A comma ends a value within braces: write decimals with a point. " + all;
    }
    String near = Suggestion.nearest(name, known);
    String secret = SecretKeys.mendOf(name, known);
    if (secret != null) {
      return secret;
    }
    if (near != null) {
      meant.add(near);
      return "Maybe you meant `" + near + "`";
    }
    List<String> places = Keys.placesOf(name);
    return places.isEmpty()
        ? all
        : "`" + name + "` belongs under " + String.join(" or ", places) + ". " + all;
  }

  /** Returns this section's path, empty at the root. */
  String path() {
    return path;
  }

  /** Tells whether the file gives the key, rightly or wrongly. */
  boolean has(String key) {
    return field(key) != null;
  }

  /** Returns the keys of a section whose keys are free, in the order of the file. */
  List<String> keys() {
    return List.copyOf(fields.keySet());
  }

  /** Reads a key; {@code null} when it is absent, or wrong with a problem added. */
  <T> @Nullable T read(String key, Kind<T> kind) {
    Field field = field(key);
    if (field == null) {
      return null;
    }
    String mend = example(key, kind.example());
    if (!(field.value() instanceof ScalarNode scalar) || isEmpty(scalar)) {
      report(field, "found " + sort(field.value()) + ", expected a value", mend);
      return null;
    }
    Reading<T> reading = kind.read(scalar.getValue());
    if (reading instanceof Reading.Not<T> not) {
      String first = not.mend() == null ? "" : not.mend() + ". ";
      report(field, "found " + not.found() + ", expected " + not.expected(), first + mend);
      return null;
    }
    return ((Reading.Of<T>) reading).value();
  }

  /** Reads a key that must be there; {@code null} with a problem added when it is not. */
  <T> @Nullable T require(String key, Kind<T> kind) {
    if (!has(key)) {
      missing(key, kind.example());
      return null;
    }
    return read(key, kind);
  }

  /** Opens a mapping; {@code null} when it is absent, or wrong with a problem added. */
  @Nullable Section section(String key, List<String> knownKeys, String example) {
    return open(key, knownKeys, example);
  }

  /** Opens a mapping whose keys are free: names of materials. */
  @Nullable Section free(String key, String example) {
    return open(key, null, example);
  }

  /** Opens a mapping that must be there; {@code null} with a problem added when it is not. */
  @Nullable Section requireSection(String key, List<String> knownKeys, String example) {
    if (!has(key)) {
      missing(key, example);
      return null;
    }
    return open(key, knownKeys, example);
  }

  private @Nullable Section open(String key, @Nullable List<String> knownKeys, String example) {
    Field field = field(key);
    if (field == null) {
      return null;
    }
    if (field.value() instanceof MappingNode mapping) {
      return new Section(findings, field.path(), field.line(), mapping, knownKeys);
    }
    report(
        field, "found " + sort(field.value()) + ", expected keys below it", example(key, example));
    return null;
  }

  /** Opens the mappings of a list that must be there; wrong ones are reported and left out. */
  List<Section> requireList(String key, List<String> knownKeys, int most, String example) {
    Field field = field(key);
    if (field == null) {
      missing(key, example);
      return List.of();
    }
    return entries(field, key, knownKeys, 1, most, example);
  }

  /**
   * Opens the mappings of a list, none where it is absent; wrong ones are reported and left out.
   */
  List<Section> list(String key, List<String> knownKeys, int most, String example) {
    Field field = field(key);
    return field == null ? List.of() : entries(field, key, knownKeys, 0, most, example);
  }

  private List<Section> entries(
      Field field, String key, List<String> knownKeys, int least, int most, String example) {
    if (!(field.value() instanceof SequenceNode list)) {
      report(field, "found " + sort(field.value()) + ", expected a list", example(key, example));
      return List.of();
    }
    int size = list.getValue().size();
    if (size < least || size > most) {
      report(
          field,
          "found " + size + " entries, expected " + least + " to " + most,
          example(key, example));
      return List.of();
    }
    List<Section> sections = new ArrayList<>();
    for (int i = 0; i < size; i++) {
      Node node = list.getValue().get(i);
      Field entry = new Field(field.path() + "[" + i + "]", lineOf(node), node);
      if (node instanceof MappingNode mapping) {
        sections.add(new Section(findings, entry.path(), entry.line(), mapping, knownKeys));
      } else {
        report(entry, "found " + sort(node) + ", expected keys", example(key, example));
      }
    }
    return sections;
  }

  /** Reports a value that is right in itself but not beside others. */
  void wrong(String key, String message, String mend) {
    Field field = field(key);
    if (field == null) {
      findings.add(line, childPath(key), message, mend);
    } else {
      report(field, message, mend);
    }
  }

  /** Reports something about the section as a whole. */
  void wrong(String message, String mend) {
    findings.add(line, path, message, mend);
  }

  private void missing(String key, String example) {
    if (meant.contains(key)) {
      return;
    }
    findings.add(
        line,
        childPath(key),
        "found no `" + key + "`, expected one",
        "Add it. " + example(key, example));
  }

  private void report(Field field, String message, String mend) {
    findings.add(field.valueLine(), field.path(), message, mend);
  }

  private @Nullable Field field(String key) {
    if (known != null && !known.contains(key)) {
      throw new IllegalArgumentException("not a known key of " + path + ": " + key);
    }
    return fields.get(key);
  }

  private static String example(String key, String example) {
    return "Example: `" + key + ": " + example + "`";
  }

  private static String sort(Node node) {
    if (node instanceof MappingNode) {
      return "keys";
    }
    if (node instanceof SequenceNode) {
      return "a list";
    }
    return isEmpty(node) ? "nothing" : "a single value";
  }

  private static boolean isEmpty(Node node) {
    return node instanceof ScalarNode scalar
        && (scalar.getValue().isEmpty()
            || (scalar.isPlain() && scalar.getValue().matches("~|null")));
  }

  private static int lineOf(Node node) {
    return node.getStartMark() == null ? 0 : node.getStartMark().getLine() + 1;
  }
}
