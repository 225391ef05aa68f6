package org.kerftally.daemon.service;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.ConfigReader;
import org.kerftally.config.ConfigResult;
import org.kerftally.config.SiteConfig;
import org.kerftally.shared.event.Event;
import org.kerftally.shared.event.Recorded;
import org.kerftally.shared.event.ShopEvent.StockStated;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.job.Part;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.length.LengthUnit;
import org.kerftally.shared.plan.Cut;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.stock.StickKind;
import org.kerftally.shared.stock.StockItem;

/** Stations, stock and orders of a small workshop, for the desks' tests. */
final class Samples {

  static final Instant NOON = Instant.parse("2027-03-01T12:00:00Z");
  static final String PINE = "pine-19x146";

  private Samples() {}

  /** Returns the setup of a saw with an outfeed stop that takes every stick it asks for. */
  static StationSetup station(String name) {
    return station(name, "outfeed-stop", "    operator: { stick-loaded: assumed }");
  }

  /** Returns the setup of a saw of which the configuration also says these lines. */
  static StationSetup station(String name, String layout, String... lines) {
    ConfigResult read =
        ConfigReader.read(
            String.join(
                "\n",
                "folder: site",
                "stations:",
                "  - name: " + name,
                "    layout: " + layout,
                "    kerf: 3 mm",
                "    travel: { min: 20 mm, max: 4000 mm }",
                String.join("\n", lines),
                "    link:",
                "      mqtt: { broker: \"tcp://127.0.0.1:1\" }",
                ""),
            "kerftally.yaml");
    assertThat(read).isInstanceOf(ConfigResult.Good.class);
    SiteConfig site = ((ConfigResult.Good) read).config();
    return new StationSetup(site, site.stations().get(0));
  }

  static StockItem sticks(int mm, @Nullable Integer quantity, @Nullable String label) {
    StickKind kind = label == null ? StickKind.NEW : StickKind.OFFCUT;
    return new StockItem(PINE, Length.ofMm(mm), quantity, null, kind, label);
  }

  static StockItem sticksAt(String cost, int mm) {
    return new StockItem(PINE, Length.ofMm(mm), null, new BigDecimal(cost), StickKind.NEW, null);
  }

  static StockStated stated(StockItem... items) {
    return new StockStated("ab".repeat(32), List.of(items));
  }

  static Recorded recorded(@Nullable String station, Event event) {
    return new Recorded(1, NOON, station, event);
  }

  static JobOrder order(String id, int mm, int quantity) {
    Part part = new Part("super side", Length.ofMm(mm), quantity, PINE, 1, null);
    return new JobOrder(
        id, id, id + ".csv", "cd".repeat(32), null, LengthUnit.MM, 1, null, List.of(part));
  }

  /** Returns a plan that takes so many sticks and cuts one piece of 505 mm from each. */
  static CutPlan plan(int stickMm, int sticks, @Nullable String label) {
    Length stick = Length.ofMm(stickMm);
    Length rest = stick.minus(Length.ofMm(508));
    PlannedSticks planned =
        new PlannedSticks(
            PINE,
            stick,
            label == null ? StickKind.NEW : StickKind.OFFCUT,
            label,
            BigDecimal.ONE,
            sticks,
            Length.ZERO,
            List.of(new Cut("super side", Length.ofMm(505))),
            rest,
            rest);
    BigDecimal cost = BigDecimal.valueOf(sticks);
    return new CutPlan(List.of(planned), List.of(), cost, cost, true);
  }
}
