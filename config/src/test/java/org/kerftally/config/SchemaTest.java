package org.kerftally.config;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.dataformat.yaml.YAMLMapper;
import com.networknt.schema.Error;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaLocation;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.kerftally.config.wiring.Signal;
import org.kerftally.config.wiring.StandIn;

/**
 * Holds the published schema and the reader to each other: an editor must not praise what the
 * reader refuses for its form, nor complain of what it reads.
 */
class SchemaTest {

  private static final SchemaRegistry REGISTRY =
      SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12);
  private static final Schema SCHEMA = REGISTRY.getSchema(ConfigSchema.text());
  private static final JsonNode ROOT = json(ConfigSchema.text());

  /** Where the schema keeps the keys of each mapping. */
  private static final Map<String, List<String>> PLACES = new LinkedHashMap<>();

  static {
    String station = "/$defs/station/properties/";
    String link = station + "link/properties/";
    PLACES.put("/properties", Keys.SITE);
    PLACES.put("/properties/intake/properties", Keys.INTAKE);
    PLACES.put("/properties/planning/properties", Keys.PLANNING);
    PLACES.put("/$defs/material/properties", Keys.MATERIAL);
    PLACES.put("/$defs/station/properties", Keys.STATION);
    PLACES.put(station + "travel/properties", Keys.TRAVEL);
    PLACES.put(station + "calibration/properties", Keys.CALIBRATION);
    PLACES.put(station + "calibration/properties/corrections/items/properties", Keys.CORRECTION);
    PLACES.put(station + "in-position/properties", Keys.IN_POSITION);
    PLACES.put(station + "approach/properties", Keys.APPROACH);
    PLACES.put(station + "retract/properties", Keys.RETRACT);
    PLACES.put(station + "park/properties", Keys.PARK);
    PLACES.put(station + "motion/properties", Keys.MOTION);
    PLACES.put(station + "operator/properties", Keys.OPERATOR);
    PLACES.put(station + "link/properties", Keys.LINK);
    PLACES.put(link + "opcua/properties", Keys.OPCUA);
    PLACES.put(link + "opcua/properties/identity/properties", Keys.IDENTITY);
    PLACES.put(link + "opcua/properties/nodes/properties", OpcUaLinkConfig.SIGNALS);
    PLACES.put("/$defs/point/properties", Keys.POINT);
    PLACES.put("/$defs/statusWord/properties", Keys.STATUS_WORD);
    PLACES.put("/$defs/signals/properties", Signal.names());
    PLACES.put("/$defs/lacks/properties", StandIn.names());
    PLACES.put("/$defs/move/properties", Keys.MOVE);
    PLACES.put(link + "mqtt/properties", Keys.MQTT);
    PLACES.put(link + "mqtt/properties/tls/properties", Keys.TLS);
    PLACES.put(link + "mqtt/properties/topics/properties", MqttLinkConfig.TOPICS);
  }

  @Test
  void theSchemaIsOne() {
    Schema meta =
        REGISTRY.getSchema(SchemaLocation.of("https://json-schema.org/draft/2020-12/schema"));
    assertThat(meta.validate(ROOT)).isEmpty();
    assertThat(ROOT.at("/$schema").asText())
        .isEqualTo("https://json-schema.org/draft/2020-12/schema");
  }

  @TestFactory
  Stream<DynamicTest> aSampleIsRightByTheSchema() {
    return TestFiles.SAMPLES.stream()
        .map(
            name ->
                dynamicTest(
                    name,
                    () ->
                        assertThat(faults(Files.readString(TestFiles.EXAMPLES.resolve(name))))
                            .isEmpty()));
  }

  @TestFactory
  Stream<DynamicTest> whatIsInForceIsRightByTheSchema() {
    return TestFiles.SAMPLES.stream()
        .map(TestFiles.EXAMPLES::resolve)
        .map(ConfigReader::read)
        .map(TestFiles::good)
        .map(
            good ->
                dynamicTest(
                    good.config().stations().toString(),
                    () -> assertThat(faults(good.effectiveYaml())).isEmpty()));
  }

  @TestFactory
  Stream<DynamicTest> theSchemaRefusesWhatIsWrongInForm() {
    List<BrokenFile> files =
        Stream.concat(BrokenFile.all().stream(), BrokenFile.ofWiring().stream())
            .filter(BrokenFile::inSchema)
            .toList();
    assertThat(files).hasSizeGreaterThan(50);
    return files.stream()
        .map(file -> dynamicTest(file.title(), () -> assertThat(faults(file.yaml())).isNotEmpty()));
  }

  @Test
  void theSchemaTakesTheFileThatIsBrokenElsewhere() throws IOException {
    assertThat(faults(TestFiles.resource("whole.yaml"))).isEmpty();
    assertThat(faults(TestFiles.resource("wired.yaml"))).isEmpty();
  }

  @TestFactory
  Stream<DynamicTest> schemaAndReaderKnowTheSameKeys() {
    return PLACES.entrySet().stream()
        .map(
            place ->
                dynamicTest(
                    place.getKey(),
                    () ->
                        assertThat(names(ROOT.at(place.getKey())))
                            .containsExactlyInAnyOrderElementsOf(place.getValue())));
  }

  @Test
  void noMappingWithKeysIsLeftOut() {
    List<String> found = new ArrayList<>();
    collect(ROOT, "", found);
    assertThat(found).containsExactlyInAnyOrderElementsOf(PLACES.keySet());
  }

  @Test
  void everyKeyIsDescribed() {
    for (String place : PLACES.keySet()) {
      JsonNode keys = ROOT.at(place);
      for (String key : names(keys)) {
        boolean described = keys.get(key).has("description") || keys.get(key).has("$ref");
        assertThat(described).as("%s/%s", place, key).isTrue();
      }
    }
  }

  @Test
  void everyDefaultOfTheSchemaIsInForceWhenNothingIsSaid() throws IOException {
    JsonNode opcua = effective("smallest-opcua.yaml");
    JsonNode mqtt = effective("smallest-mqtt.yaml");
    int compared = 0;
    for (String place : PLACES.keySet()) {
      JsonNode keys = ROOT.at(place);
      for (String key : names(keys)) {
        String where = instanceOf(place) + "/" + key;
        JsonNode value = where.contains("/mqtt/") ? mqtt.at(where) : opcua.at(where);
        JsonNode standard = keys.get(key).get("default");
        if (standard != null && !key.equals("topics")) {
          assertThat(value.asText()).as(where).isEqualTo(standard.asText());
          compared++;
        }
      }
    }
    assertThat(compared).isGreaterThan(15);
  }

  @Test
  void everyDefaultOfTheReaderIsInTheSchema() throws IOException {
    for (String sample : List.of("smallest-opcua.yaml", "smallest-mqtt.yaml")) {
      String effective =
          TestFiles.good(ConfigReader.read(TestFiles.EXAMPLES.resolve(sample))).effectiveYaml();
      effective
          .lines()
          .filter(line -> line.endsWith("# default"))
          .map(line -> line.strip().split(":", 2)[0])
          .filter(key -> !MqttLinkConfig.TOPICS.contains(key) && !key.equals("prefix"))
          .forEach(key -> assertThat(ROOT.findValues(key)).as(key).anyMatch(n -> n.has("default")));
    }
  }

  /** Turns where the schema describes a key into where the smallest sample has it. */
  private static String instanceOf(String place) {
    return place
        .replace("/$defs/station", "/stations/0")
        .replace("/$defs/material", "/materials/none")
        .replace("/properties", "");
  }

  private static void collect(JsonNode node, String path, List<String> found) {
    if (node.path("properties").isObject()) {
      found.add(path + "/properties");
    }
    for (Map.Entry<String, JsonNode> child : node.properties()) {
      collect(child.getValue(), path + "/" + child.getKey(), found);
    }
  }

  private static JsonNode effective(String sample) throws IOException {
    String text = Files.readString(TestFiles.EXAMPLES.resolve(sample));
    String least = text.replaceAll("(?m)^ *(board|lead-trim):.*\n", "");
    return new YAMLMapper().readTree(TestFiles.good(least).effectiveYaml());
  }

  private static List<String> names(JsonNode object) {
    List<String> names = new ArrayList<>();
    object.fieldNames().forEachRemaining(names::add);
    return names;
  }

  private static List<Error> faults(String yaml) {
    return SCHEMA.validate(yaml, InputFormat.YAML);
  }

  private static JsonNode json(String text) {
    try {
      return new ObjectMapper().readTree(text);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException(e);
    }
  }
}
