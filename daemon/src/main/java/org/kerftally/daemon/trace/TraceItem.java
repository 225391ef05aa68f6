package org.kerftally.daemon.trace;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.kerftally.daemon.service.DecisionWitness.Question;
import org.kerftally.daemon.station.Decision;
import org.kerftally.protocol.LinkTap;

/** Is what waits to be written: references alone, made into text by the writer. */
sealed interface TraceItem {

  /** Returns about how many bytes it holds that nobody else does. */
  int weight();

  /** A decision, or the failure it ended in. */
  record Taken(
      Question question,
      @Nullable Decision decision,
      @Nullable String failure,
      boolean written,
      int ticks)
      implements TraceItem {

    @Override
    public int weight() {
      return 1_000;
    }
  }

  /** Text that passed over the wire. */
  record Text(Instant at, LinkTap.Way way, String what, String place, String value)
      implements TraceItem {

    @Override
    public int weight() {
      return 200 + 2 * (place.length() + value.length());
    }
  }

  /** A message that passed over the wire. */
  @SuppressWarnings("ArrayRecordComponent") // Handed over once, never compared.
  record Message(Instant at, LinkTap.Way way, String what, String place, byte[] payload)
      implements TraceItem {

    @Override
    public int weight() {
      return 200 + 2 * place.length() + payload.length;
    }
  }
}
