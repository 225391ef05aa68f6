package org.kerftally.sim;

import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.Deque;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.LastCut;
import org.kerftally.shared.length.Length;

/**
 * Keeps the truth and the memory on disk, and the cuts that were not yet told to listeners.
 *
 * <p>The truth is written before the memory. A crash between the two leaves a cut that happened and
 * is not remembered, which would be lost to everybody; so opening compares the two, and where the
 * truth's last line is of the remembered power-up and further on, the memory is brought up to it.
 *
 * <p>Threading: the device's thread, after construction.
 */
final class Records implements Recorder, AutoCloseable {
  private final @Nullable TruthFile truth;
  private final @Nullable MemoryFile memory;
  private final @Nullable MovesFile moves;
  private final NonVolatile remembered;
  private final Deque<LastCut> untold = new ArrayDeque<>();

  /**
   * Opens the files.
   *
   * @throws SimInputException when one of them holds something else
   * @throws java.io.UncheckedIOException when one of them cannot be opened
   */
  Records(@Nullable Path truthFile, @Nullable Path memoryFile, @Nullable Path movesFile) {
    memory = memoryFile == null ? null : new MemoryFile(memoryFile);
    NonVolatile read = memory == null ? NonVolatile.EMPTY : memory.read();
    truth = truthFile == null ? null : TruthFile.open(truthFile);
    LastCut last = truth == null ? null : truth.last();
    boolean ahead = last != null && last.boot().equals(read.boot()) && last.count() > read.count();
    remembered = ahead && last != null ? NonVolatile.after(last) : read;
    moves = movesFile == null ? null : openMoves(movesFile);
  }

  private MovesFile openMoves(Path file) {
    try {
      return MovesFile.open(file);
    } catch (UncheckedIOException e) {
      close();
      throw e;
    }
  }

  /** Returns what the machine remembered when the files were opened. */
  NonVolatile remembered() {
    return remembered;
  }

  @Override
  public void powerUp(NonVolatile state, Instant at) {
    if (memory != null) {
      memory.write(state);
    }
    if (moves != null) {
      moves.powerUp(state.boot(), at);
    }
  }

  @Override
  public void cut(LastCut cut) {
    if (truth != null) {
      truth.append(cut);
    }
    if (memory != null) {
      memory.write(NonVolatile.after(cut));
    }
    untold.add(cut);
  }

  @Override
  public void pressed(String boot, Button button, long total, Instant at) {
    if (moves != null) {
      moves.pressed(boot, button, total, at);
    }
  }

  @Override
  public void begun(String boot, long seq, Length to, Instant at) {
    if (moves != null) {
      moves.begun(boot, seq, to, at);
    }
  }

  /** Returns and forgets the oldest cut nobody was told of, {@code null} for none. */
  @Nullable LastCut takeUntold() {
    return untold.poll();
  }

  @Override
  public void close() {
    if (moves != null) {
      moves.close();
    }
    if (truth != null) {
      truth.close();
    }
  }
}
