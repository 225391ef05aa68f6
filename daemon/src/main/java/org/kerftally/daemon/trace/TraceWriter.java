package org.kerftally.daemon.trace;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.time.Clock;
import java.util.HexFormat;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.service.DecisionWitness.Question;
import org.kerftally.daemon.station.Decision;
import org.kerftally.daemon.station.Senses;
import org.kerftally.daemon.station.StationRules;
import org.kerftally.daemon.station.StationState;
import org.kerftally.protocol.LinkTap;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Writes one station's trace: takes what waits, makes it into lines, keeps the files in bounds.
 *
 * <p>It knows the state before the next decision, from the last one it wrote, so it can begin a new
 * file anywhere. When something was lost it no longer does; the next decision brings its own, which
 * is written before it.
 *
 * <p>A file that cannot be written is given up and another tried after a rest; what comes meanwhile
 * is counted as lost. That is logged once. Stepped by one thread.
 */
final class TraceWriter {

  /** The most one file may grow to, but for its last line: a thousand cuts and more over MQTT. */
  static final long MAX_FILE_BYTES = 32L << 20;

  /** Longer lines are left out; a plan of ten thousand patterns takes a tenth of it. */
  static final int MAX_LINE_CHARS = 16 << 20;

  /** How much of one value of the wire is written. */
  static final int MAX_VALUE_CHARS = 4_096;

  private static final int BUFFER_BYTES = 64 << 10;
  private static final long REST_NANOS = TimeUnit.SECONDS.toNanos(10);
  private static final long SECRETS_NANOS = TimeUnit.SECONDS.toNanos(1);
  private static final String OVERFLOW = "they came faster than they could be written";
  private static final Logger LOG = LoggerFactory.getLogger(TraceWriter.class);

  /**
   * Holds what does not change.
   *
   * @param kerftally the version
   * @param configuration all that the configuration says of the station
   * @param rules the core's rules
   */
  record Subject(String kerftally, String configuration, StationRules rules) {}

  private record Known(StationState state, Senses senses) {}

  private final Subject subject;
  private final TraceFiles files;
  private final Blanking blanking;
  private final TraceCodec codec;
  private final Clock clock;
  private final LongSupplier nanos;
  private final long maxFileBytes;
  private @Nullable Known known;
  private @Nullable OutputStream out;
  private final ByteArrayOutputStream pending = new ByteArrayOutputStream();
  private long pendingLines;
  private long bytes;
  private long lost;
  private String why = OVERFLOW;
  private @Nullable Long restsSince;
  private long secretsRead;
  private boolean warned;

  TraceWriter(
      Subject subject,
      StationState state,
      TraceFiles files,
      Blanking blanking,
      Clock clock,
      LongSupplier nanos,
      long maxFileBytes) {
    this.subject = subject;
    this.files = files;
    this.blanking = blanking;
    this.codec = new TraceCodec(blanking);
    this.clock = clock;
    this.nanos = nanos;
    this.maxFileBytes = maxFileBytes;
    this.known = new Known(state, Senses.NONE);
    this.secretsRead = nanos.getAsLong();
  }

  /** Notes that so many items never came here. */
  void lose(long items) {
    if (items > 0) {
      lost += items;
      why = OVERFLOW;
      known = null;
    }
  }

  /** Writes an item, or counts it as lost. */
  void write(TraceItem item) {
    refreshSecrets(item);
    try {
      if (item instanceof TraceItem.Taken taken) {
        Question before = taken.question();
        Known starts = new Known(before.state(), before.senses());
        known = starts.equals(known) ? starts : null;
        begin(taken);
        line(decided(taken));
        Decision decision = taken.decision();
        known =
            decision != null && taken.written()
                ? new Known(decision.state(), decision.senses())
                : new Known(before.state(), before.senses());
      } else if (begin(null)) {
        line(wire(item));
      } else {
        lost++;
      }
    } catch (IOException | RuntimeException e) {
      giveUp(e);
    }
  }

  /** Secrets may be others with every connection, and those of this one are not written before. */
  private void refreshSecrets(TraceItem item) {
    boolean connects = item instanceof TraceItem.Text text && text.what().startsWith("connect");
    if (connects || nanos.getAsLong() - secretsRead > SECRETS_NANOS) {
      secretsRead = nanos.getAsLong();
      blanking.refresh();
    }
  }

  /** Makes sure that the next line can be written and read; {@code false} when it cannot. */
  private boolean begin(TraceItem.@Nullable Taken taken) throws IOException {
    Known before =
        taken == null ? known : new Known(taken.question().state(), taken.question().senses());
    if (out != null && bytes >= maxFileBytes && before != null) {
      writePending();
      close();
    }
    if (out == null) {
      if (before == null || rests()) {
        if (taken != null) {
          throw new IOException("the trace rests after a failure");
        }
        return false;
      }
      open(before);
      known = before;
      sayLost();
      return true;
    }
    sayLost();
    if (taken != null && known == null && before != null) {
      line(new TraceLine.Resumed(before.state(), before.senses()));
    }
    return true;
  }

  private void sayLost() throws IOException {
    if (lost > 0) {
      long told = lost;
      line(new TraceLine.Lost(clock.instant(), told, why));
      lost -= told;
    }
  }

  private boolean rests() {
    Long since = restsSince;
    return since != null && nanos.getAsLong() - since < REST_NANOS;
  }

  private void open(Known before) throws IOException {
    TraceFiles.Opened opened = files.next(clock.instant());
    out = opened.out();
    bytes = 0;
    restsSince = null;
    line(
        new TraceLine.Header(
            TraceLine.FORMAT,
            subject.kerftally(),
            subject.rules().name(),
            clock.instant(),
            subject.configuration(),
            subject.rules(),
            before.state(),
            before.senses()));
  }

  private void line(TraceLine line) throws IOException {
    String text = codec.encode(line);
    if (text.length() > MAX_LINE_CHARS) {
      throw new IOException("a line of " + text.length() + " characters is too long");
    }
    byte[] encoded = (text + "\n").getBytes(UTF_8);
    pending.write(encoded);
    pendingLines++;
    bytes += encoded.length;
    if (pending.size() >= BUFFER_BYTES) {
      writePending();
    }
  }

  private void writePending() throws IOException {
    OutputStream to = out;
    if (to == null) {
      throw new IOException("no file is open");
    }
    to.write(pending.toByteArray());
    pending.reset();
    pendingLines = 0;
  }

  private void giveUp(Exception failure) {
    lost += 1 + pendingLines;
    pending.reset();
    pendingLines = 0;
    known = null;
    if (!rests()) {
      why = "they could not be written: " + failure.getMessage();
      restsSince = nanos.getAsLong();
    }
    if (!warned) {
      warned = true;
      LOG.warn(
          "the trace of {} cannot be written, the station goes on without it: {}",
          subject.rules().name(),
          failure.toString());
    }
    close();
  }

  private static TraceLine decided(TraceItem.Taken taken) {
    Question question = taken.question();
    Decision decision = taken.decision();
    return new TraceLine.Decided(
        question.now().wall(),
        question.now().nanos(),
        taken.ticks(),
        taken.written(),
        question.input(),
        decision == null ? List.of() : decision.events(),
        decision == null ? List.of() : decision.effects(),
        taken.failure());
  }

  private TraceLine wire(TraceItem item) {
    if (item instanceof TraceItem.Message message) {
      String text = textOrNull(message.payload());
      boolean binary = text == null;
      String value = text == null ? HexFormat.of().formatHex(message.payload()) : text;
      return wire(message.at(), message.way(), message.what(), message.place(), value, binary);
    }
    TraceItem.Text text = (TraceItem.Text) item;
    return wire(text.at(), text.way(), text.what(), text.place(), text.value(), false);
  }

  /** Blanks before it cuts: half a secret is none that could be found. */
  private TraceLine wire(
      java.time.Instant at,
      LinkTap.Way way,
      String what,
      String place,
      String value,
      boolean binary) {
    String blanked = blanking.apply(value);
    int most = Math.min(blanked.length(), MAX_VALUE_CHARS);
    return new TraceLine.Wire(
        at, way, what, place, blanked.substring(0, most), binary, blanked.length() - most);
  }

  private static @Nullable String textOrNull(byte[] payload) {
    try {
      return UTF_8.newDecoder().decode(ByteBuffer.wrap(payload)).toString();
    } catch (CharacterCodingException e) {
      return null;
    }
  }

  /** Hands what was written to the operating system, which keeps it when the process is killed. */
  void flush() {
    try {
      if (pendingLines > 0) {
        writePending();
      }
    } catch (IOException e) {
      lost--; // What was pending is all there is.
      giveUp(e);
    }
  }

  /** Says that the service ended, and closes the file. */
  void end() {
    try {
      if (out != null) {
        sayLost();
        line(new TraceLine.Ended(clock.instant()));
      }
    } catch (IOException e) {
      giveUp(e);
    }
    flush();
    close();
  }

  private void close() {
    OutputStream to = out;
    out = null;
    try {
      if (to != null) {
        to.close();
      }
    } catch (IOException e) {
      LOG.debug("a trace did not close: {}", e.toString());
    }
  }
}
