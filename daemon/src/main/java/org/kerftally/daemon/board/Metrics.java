package org.kerftally.daemon.board;

import io.prometheus.metrics.expositionformats.OpenMetricsTextFormatWriter;
import io.prometheus.metrics.model.snapshots.CounterSnapshot;
import io.prometheus.metrics.model.snapshots.CounterSnapshot.CounterDataPointSnapshot;
import io.prometheus.metrics.model.snapshots.GaugeSnapshot;
import io.prometheus.metrics.model.snapshots.GaugeSnapshot.GaugeDataPointSnapshot;
import io.prometheus.metrics.model.snapshots.InfoSnapshot;
import io.prometheus.metrics.model.snapshots.InfoSnapshot.InfoDataPointSnapshot;
import io.prometheus.metrics.model.snapshots.Labels;
import io.prometheus.metrics.model.snapshots.MetricSnapshot;
import io.prometheus.metrics.model.snapshots.MetricSnapshots;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.ToDoubleFunction;
import java.util.function.ToLongFunction;
import org.kerftally.daemon.results.JobTally;
import org.kerftally.daemon.service.StationView;
import org.kerftally.shared.event.CutKind;
import org.kerftally.shared.event.StationMode;
import org.kerftally.shared.length.Length;

/**
 * Writes the metrics as OpenMetrics text.
 *
 * <p>Nothing is counted here: every value is read from the folds of the cut log when it is asked
 * for, so a counter goes on where it was after a restart, and a scrape cannot disagree with the
 * page. Labels are the station, the kind of a cut and the state, never a job or a file: the number
 * of series does not grow.
 */
final class Metrics {

  /** The content type of the OpenMetrics text format, version 1.0.0. */
  static final String CONTENT_TYPE = OpenMetricsTextFormatWriter.CONTENT_TYPE;

  private static final String STATION = "station";
  private static final double NM_PER_METRE = 1e9;
  private static final double MILLIS_PER_SECOND = 1e3;

  private Metrics() {}

  /** Returns the exposition. */
  static byte[] write(
      BoardView view, Map<String, StationCounts> counts, int listeners, Instant now) {
    List<MetricSnapshot> all = new ArrayList<>();
    all.add(version(view));
    all.add(single("kerftally_ready", "Whether the service can do its work.", ready(view)));
    all.add(single("kerftally_board_listeners", "Open streams of events.", listeners));
    all.add(single("kerftally_offcuts", "Offcuts made here to hand.", view.offcuts().count()));
    all.add(
        single(
            "kerftally_offcuts_length_meters",
            "Length of the offcuts made here to hand.",
            metres(view.offcuts().length())));
    all.add(
        single(
            "kerftally_results_unwritten",
            "Result files that cannot be written now.",
            view.unwritten().size()));
    counters(all, view, counts);
    all.add(downtime(view, now));
    gauges(all, view);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    try {
      OpenMetricsTextFormatWriter.create().write(out, new MetricSnapshots(all));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return out.toByteArray();
  }

  private static void counters(
      List<MetricSnapshot> all, BoardView view, Map<String, StationCounts> counts) {
    all.add(cuts(view, counts));
    all.add(
        counter(
            "kerftally_parts_made",
            "Parts made, those rejected afterwards too.",
            view,
            counts,
            StationCounts::made));
    all.add(
        counter(
            "kerftally_parts_rejected",
            "Parts the operator rejected.",
            view,
            counts,
            StationCounts::rejected));
    all.add(
        counter("kerftally_faults", "Faults that came up.", view, counts, StationCounts::faults));
    all.add(
        counter(
            "kerftally_targets_sent",
            "Targets decided on and sent.",
            view,
            counts,
            StationCounts::targets));
    all.add(
        counter(
            "kerftally_sticks_loaded",
            "Sticks put in the saw.",
            view,
            counts,
            StationCounts::sticks));
  }

  private static void gauges(List<MetricSnapshot> all, BoardView view) {
    all.add(state(view));
    all.add(gauge("kerftally_link_up", "Whether the link is live.", view, s -> s.linkUp() ? 1 : 0));
    all.add(
        gauge(
            "kerftally_armed",
            "Whether the operator acknowledged since the last interruption.",
            view,
            s -> s.armed() ? 1 : 0));
    all.add(gauge("kerftally_faults_standing", "Faults that stand.", view, s -> s.faults().size()));
    all.add(gauge("kerftally_jobs_waiting", "Jobs that wait.", view, StationView::waiting));
    all.add(
        gauge(
            "kerftally_yield_ratio",
            "Length of good parts by length used, over the jobs still listed.",
            view,
            s -> yieldRatio(view, s.name())));
  }

  private static MetricSnapshot version(BoardView view) {
    return InfoSnapshot.builder()
        .name("kerftally_build")
        .help("The version that runs.")
        .dataPoint(
            InfoDataPointSnapshot.builder().labels(Labels.of("version", view.version())).build())
        .build();
  }

  private static MetricSnapshot single(String name, String help, double value) {
    return GaugeSnapshot.builder()
        .name(name)
        .help(help)
        .dataPoint(GaugeDataPointSnapshot.builder().value(value).build())
        .build();
  }

  private static MetricSnapshot gauge(
      String name, String help, BoardView view, ToDoubleFunction<StationView> value) {
    GaugeSnapshot.Builder gauge = GaugeSnapshot.builder().name(name).help(help);
    for (StationView station : view.stations()) {
      gauge.dataPoint(
          GaugeDataPointSnapshot.builder()
              .labels(Labels.of(STATION, station.name()))
              .value(value.applyAsDouble(station))
              .build());
    }
    return gauge.build();
  }

  private static MetricSnapshot state(BoardView view) {
    GaugeSnapshot.Builder gauge =
        GaugeSnapshot.builder()
            .name("kerftally_station_state")
            .help("1 for the state the station is in (ISA-TR88.00.02), 0 for the others.");
    for (StationView station : view.stations()) {
      for (StationMode mode : StationMode.values()) {
        gauge.dataPoint(
            GaugeDataPointSnapshot.builder()
                .labels(
                    Labels.of(
                        STATION, station.name(), "state", mode.name().toLowerCase(Locale.ROOT)))
                .value(station.mode() == mode ? 1 : 0)
                .build());
      }
    }
    return gauge.build();
  }

  private static MetricSnapshot counter(
      String name,
      String help,
      BoardView view,
      Map<String, StationCounts> counts,
      ToLongFunction<StationCounts> value) {
    CounterSnapshot.Builder counter = CounterSnapshot.builder().name(name).help(help);
    for (StationView station : view.stations()) {
      counter.dataPoint(
          CounterDataPointSnapshot.builder()
              .labels(Labels.of(STATION, station.name()))
              .value((double) value.applyAsLong(of(counts, station)))
              .build());
    }
    return counter.build();
  }

  private static MetricSnapshot cuts(BoardView view, Map<String, StationCounts> counts) {
    CounterSnapshot.Builder counter =
        CounterSnapshot.builder()
            .name("kerftally_cuts")
            .help("Saw cycles booked, by what they were booked as.");
    for (StationView station : view.stations()) {
      for (CutKind kind : CutKind.values()) {
        if (kind == CutKind.REJECTED) {
          continue;
        }
        counter.dataPoint(
            CounterDataPointSnapshot.builder()
                .labels(Labels.of("kind", kind.word(), STATION, station.name()))
                .value((double) of(counts, station).cuts(kind))
                .build());
      }
    }
    return counter.build();
  }

  private static MetricSnapshot downtime(BoardView view, Instant now) {
    CounterSnapshot.Builder counter =
        CounterSnapshot.builder()
            .name("kerftally_downtime_seconds")
            .help("Time in which a fault stood or the link was lost.");
    for (StationView station : view.stations()) {
      counter.dataPoint(
          CounterDataPointSnapshot.builder()
              .labels(Labels.of(STATION, station.name()))
              .value(view.incidentsAt(station).downUntil(now).toMillis() / MILLIS_PER_SECOND)
              .build());
    }
    return counter.build();
  }

  private static StationCounts of(Map<String, StationCounts> counts, StationView station) {
    return counts.getOrDefault(station.name(), StationCounts.NONE);
  }

  private static double ready(BoardView view) {
    return view.notReady() == null ? 1 : 0;
  }

  private static double metres(Length length) {
    return length.nm() / NM_PER_METRE;
  }

  private static double yieldRatio(BoardView view, String station) {
    Length used = Length.ZERO;
    Length good = Length.ZERO;
    for (JobTally job : view.jobs()) {
      if (job.station().equals(station)) {
        used = used.plus(job.sticks().used());
        good = good.plus(job.sticks().good());
      }
    }
    return used.isPositive() ? (double) good.nm() / used.nm() : 0;
  }
}
