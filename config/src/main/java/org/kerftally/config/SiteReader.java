package org.kerftally.config;

import java.nio.file.Path;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/** Reads the top of the file; the stations are read by {@link StationReader}. */
final class SiteReader {

  /** More materials than a large shop has on the rack. */
  static final int MAX_MATERIALS = 1_000;

  private final Section root;
  private final Path base;

  /** Reads from an open file; relative paths in it start at {@code base}. */
  SiteReader(Section root, Path base) {
    this.root = root;
    this.base = base;
  }

  /** Returns the configuration, or {@code null} where something is missing, with problems added. */
  @Nullable SiteConfig read() {
    Path folder = root.require("folder", WordKinds.path("/srv/kerftally", base));
    BoardConfig board = readBoard();
    Length minOffcut =
        orElse(root.read("min-offcut", LengthKinds.MIN_OFFCUT), SiteConfig.DEFAULT_MIN_OFFCUT);
    IntakeConfig intake = readIntake();
    PlanningConfig planning = readPlanning();
    Map<String, MaterialConfig> materials = readMaterials();
    List<StationConfig> stations = new StationsReader(root, base).read(materials);
    if (folder == null || stations.isEmpty()) {
      return null;
    }
    return new SiteConfig(folder, board, intake, stations, materials, minOffcut, planning);
  }

  private BoardConfig readBoard() {
    BoardConfig address = orElse(root.read("board", AddressKinds.BOARD), BoardConfig.DEFAULT);
    SecretPlace token = new SecurityReader(base).secret(root, "board-token", "board.token");
    PlainText plain =
        orElse(root.read("board-plain-text", WordKinds.PLAIN_TEXT), PlainText.REFUSED);
    if (!address.isLoopback() && plain == PlainText.REFUSED) {
      root.wrong(
          "board",
          "found a board that other machines can reach; it speaks in clear, to whoever asks",
          "Write `board: 127.0.0.1:"
              + address.port()
              + "`, or say that it is wanted: `board-plain-text: accepted`, best with a"
              + " `board-token-file`");
    }
    return new BoardConfig(address.host(), address.port(), token, plain);
  }

  private IntakeConfig readIntake() {
    IntakeConfig defaults = IntakeConfig.DEFAULT;
    Section intake = root.section("intake", Keys.INTAKE, "{ poll: 500 ms }");
    if (intake == null) {
      return defaults;
    }
    Duration poll = orElse(intake.read("poll", AmountKinds.POLL), defaults.poll());
    Duration minAge = orElse(intake.read("min-age", AmountKinds.MIN_AGE), defaults.minAge());
    long maxBytes = orElse(intake.read("max-bytes", AmountKinds.MAX_BYTES), defaults.maxBytes());
    return new IntakeConfig(poll, minAge, maxBytes);
  }

  private PlanningConfig readPlanning() {
    Section planning = root.section("planning", Keys.PLANNING, "{ time-limit: 10 s }");
    Duration limit = planning == null ? null : planning.read("time-limit", AmountKinds.TIME_LIMIT);
    return limit == null ? PlanningConfig.DEFAULT : new PlanningConfig(limit);
  }

  private Map<String, MaterialConfig> readMaterials() {
    Map<String, MaterialConfig> materials = new LinkedHashMap<>();
    Section all = root.free("materials", "{ pine-19x146: { section: 19 x 146 } }");
    if (all == null) {
      return materials;
    }
    if (all.keys().size() > MAX_MATERIALS) {
      all.wrong(
          "found more than " + MAX_MATERIALS + " materials", "Name only those that need a word");
      return materials;
    }
    for (String name : all.keys()) {
      Reading<String> reading = WordKinds.MATERIAL_NAME.read(name);
      if (reading instanceof Reading.Not<String> not) {
        all.wrong(
            name,
            "found the name " + not.found() + ", expected " + not.expected(),
            "Example: `" + WordKinds.MATERIAL_NAME.example() + ": { section: 19 x 146 }`");
        continue;
      }
      Section material = all.section(name, Keys.MATERIAL, "{ section: 19 x 146 }");
      if (material != null) {
        materials.put(
            name,
            new MaterialConfig(
                material.read("section", WordKinds.SECTION),
                material.read("kerf", LengthKinds.KERF),
                material.read("min-offcut", LengthKinds.MIN_OFFCUT),
                material.read("stroke", LengthKinds.STROKE)));
      }
    }
    return materials;
  }

  /** Returns the value, or what stands in for one that is not given. */
  static <T> T orElse(@Nullable T value, T otherwise) {
    return value == null ? otherwise : value;
  }
}
