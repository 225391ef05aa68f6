package org.kerftally.daemon.board;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Instant;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.results.JobTally;
import org.kerftally.daemon.service.StationView;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.device.Prompt;
import org.kerftally.shared.event.StationEvent.MoveSet;
import org.kerftally.shared.event.StationEvent.TargetSet;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthText;
import org.kerftally.shared.length.LengthUnit;

/** Writes one station as JSON. Texts of lengths are in the unit of the station's job. */
final class StationJson {

  private StationJson() {}

  /** Writes the station. */
  static void write(ObjectNode node, StationView station, BoardView view) {
    JobTally job = view.job(station.job()).orElse(null);
    LengthUnit unit = job == null ? LengthUnit.MM : job.order().unit();
    node.put("name", station.name());
    node.put("state", word(station.mode()));
    node.put("since", Json.time(station.since()));
    node.put("link_up", station.linkUp());
    StationIncidents incidents = view.incidentsAt(station);
    node.put("link_down_since", station.linkUp() ? null : since(incidents.linkAwaitedSince()));
    node.put("armed", station.armed());
    node.put("job", station.job());
    node.put("job_name", job == null ? null : job.order().name());
    node.put("waiting", station.waiting());
    node.put("stick", station.stick());
    target(node, station.target(), unit);
    move(node, station.move());
    prompt(node.putObject("prompt"), station.prompt(), unit);
    ArrayNode faults = node.putArray("faults");
    for (Map.Entry<String, String> fault : new TreeMap<>(station.faults()).entrySet()) {
      faults
          .addObject()
          .put("code", fault.getKey())
          .put("text", fault.getValue())
          .put("since", since(incidents.standing().get(fault.getKey())));
    }
    oddCuts(node.putArray("odd_cuts"), incidents);
    node.put("down_seconds", incidents.down().toSeconds());
    node.put("down_since", since(incidents.downSince()));
    device(node, station.device(), station.standsAt(), unit);
    node.put("trouble", station.trouble());
    ArrayNode notes = node.putArray("notes");
    view.notesOn(station).forEach(notes::add);
  }

  /** Returns the state's name as ISA-TR88.00.02 writes it: {@code Execute}. */
  static String word(StationMode mode) {
    String name = mode.name();
    return name.charAt(0) + name.substring(1).toLowerCase(Locale.ROOT);
  }

  /** Returns a constant's name as the JSON writes it: {@code load-stick}. */
  static String dashed(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  private static @Nullable String since(@Nullable Instant at) {
    return at == null ? null : Json.time(at);
  }

  private static void oddCuts(ArrayNode list, StationIncidents incidents) {
    for (StationIncidents.OddCut cut : incidents.latest()) {
      list.addObject()
          .put("at", Json.time(cut.at()))
          .put("kind", cut.kind().word())
          .put("boot", cut.boot())
          .put("count", cut.count())
          .put("remark", cut.remark());
    }
  }

  private static void target(ObjectNode node, @Nullable TargetSet target, LengthUnit unit) {
    if (target == null) {
      node.putNull("target");
      return;
    }
    ObjectNode json = node.putObject("target");
    json.put("seq", target.seq());
    json.put("kind", target.part() == null ? "trim" : "part");
    json.put("part", target.part());
    json.put("length_mm", target.wanted().toMm());
    json.put("length_text", LengthText.write(target.wanted(), unit));
    json.put("position_mm", target.position().toMm());
  }

  private static void move(ObjectNode node, @Nullable MoveSet move) {
    if (move == null) {
      node.putNull("move");
      return;
    }
    ObjectNode json = node.putObject("move");
    json.put("seq", move.seq());
    json.put("kind", move.move().word());
    json.put("position_mm", move.position().toMm());
  }

  private static void prompt(ObjectNode json, Prompt prompt, LengthUnit unit) {
    json.put("kind", dashed(prompt.kind()));
    json.put("text", prompt.text());
    json.put("material", prompt.material());
    json.put("length_mm", Json.mm(prompt.length()));
    json.put(
        "length_text", prompt.length() == null ? null : LengthText.write(prompt.length(), unit));
    json.put("label", prompt.label());
  }

  private static void device(
      ObjectNode node,
      @Nullable DeviceSnapshot device,
      @Nullable Length standsAt,
      LengthUnit unit) {
    if (device == null) {
      node.putNull("device");
      return;
    }
    ObjectNode json = node.putObject("device");
    json.put("position_mm", device.position().toMm());
    json.put("position_text", LengthText.write(device.position(), unit));
    json.put("stands_at_mm", Json.mm(standsAt));
    json.put("stands_at_text", standsAt == null ? null : LengthText.write(standsAt, unit));
    json.put("target_reached", device.targetReached());
    json.put("homed", device.homingAttained());
    json.put("enabled", device.enabled());
    json.put("remote", device.remoteAllowed());
    json.put("saw", dashed(device.sawState()));
    json.put("cut_count", device.cutCount());
    json.put("fault_code", device.faultCode());
    json.put("fault_text", device.faultText());
    json.put("paused", device.panel().paused());
  }
}
