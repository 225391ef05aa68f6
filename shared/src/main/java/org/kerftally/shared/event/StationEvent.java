package org.kerftally.shared.event;

import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.device.OperatorPanel;
import org.kerftally.shared.device.StopMove;
import org.kerftally.shared.job.JobOrder;
import org.kerftally.shared.length.Length;
import org.kerftally.shared.plan.CutPlan;
import org.kerftally.shared.plan.PlannedSticks;
import org.kerftally.shared.plan.Shortage;
import org.kerftally.shared.stock.Offcut;

/** States something that happened at one station. A station's state is the fold of these. */
public sealed interface StationEvent extends Event {

  /** The service began to drive the station. Motion waits for an acknowledge from here on. */
  record DriveBegun(String version) implements StationEvent {}

  /** The service stopped driving the station in good order. */
  record DriveEnded(String reason) implements StationEvent {}

  /** A job was put in this station's queue. */
  record JobQueued(JobOrder order, CutPlan plan) implements StationEvent {}

  /** A queued job was taken out before it was started. */
  record JobUnqueued(String job, String reason) implements StationEvent {}

  /** The first queued job became the current one. */
  record JobStarted(String job) implements StationEvent {}

  /**
   * A new plan for the rest of the current job replaced the old one.
   *
   * @param job the job's id
   * @param reason why, for people
   * @param plan what is still to be cut, the stick in the saw first where it still serves
   */
  record Replanned(String job, String reason, CutPlan plan) implements StationEvent {}

  /** Something made the current plan void; a new one is being worked out. */
  record ReplanWanted(String job, String reason) implements StationEvent {}

  /**
   * The last cut of a job was booked, or nothing more of it can be cut.
   *
   * @param job the job's id
   * @param shortages what could not be made; empty when all was
   */
  record JobEnded(String job, List<Shortage> shortages) implements StationEvent {

    /** Copies the list. */
    public JobEnded {
      shortages = List.copyOf(shortages);
    }
  }

  /** The last part of the job that ended last was rejected, so that it goes on. */
  record JobReopened(String job) implements StationEvent {}

  /**
   * A stick was put in the saw and so left the stock.
   *
   * @param job the job's id
   * @param stick the stick's number within the job, from 1, growing
   * @param planned the stick as planned, {@code repeat} 1
   * @param length its length as measured, else as planned
   * @param presses the panel's total of "stick loaded" this answers, or -1 when the config lets the
   *     stick be assumed
   */
  record StickLoaded(String job, int stick, PlannedSticks planned, Length length, long presses)
      implements StationEvent {}

  /**
   * The stick in the saw is done with.
   *
   * @param job the job's id
   * @param stick the stick's number within the job
   * @param rest what remains of it
   * @param offcut the same when kept, else {@code null}
   */
  record StickDone(String job, int stick, Length rest, @Nullable Offcut offcut)
      implements StationEvent {}

  /**
   * A target was decided on. Written before it is sent.
   *
   * @param seq its sequence number
   * @param job the job's id
   * @param stick the stick's number within the job
   * @param part the part's name, or {@code null} for a squaring cut
   * @param wanted the part's length, or the trim for a squaring cut
   * @param position the device position sent
   * @param validUntil when it is void unless answered
   */
  record TargetSet(
      long seq,
      String job,
      int stick,
      @Nullable String part,
      Length wanted,
      Length position,
      Instant validUntil)
      implements StationEvent {}

  /**
   * A move to where nothing is to be cut was decided on. It is a target like any other to the
   * device, numbered with the others and answered or voided like them. Written before it is sent.
   *
   * @param seq its sequence number
   * @param move what it is for
   * @param job the job being cut, or {@code null} where there is none
   * @param stand how far from the blade the stop is to stand
   * @param position the device position sent
   * @param validUntil when it is void unless answered
   */
  record MoveSet(
      long seq,
      StopMove move,
      @Nullable String job,
      Length stand,
      Length position,
      Instant validUntil)
      implements StationEvent {}

  /** The stop has been where the move led for as long as it was to; the work goes on. */
  record MoveDone(long seq) implements StationEvent {}

  /** The device took the target. */
  record TargetAccepted(long seq) implements StationEvent {}

  /** The device refused the target; nothing moved. */
  record TargetRefused(long seq, String reason) implements StationEvent {}

  /** The target will not be cut: not answered in time, dropped by the device, or cancelled. */
  record TargetVoided(long seq, String reason) implements StationEvent {}

  /**
   * A saw cycle was booked, once for its key (station, boot, count).
   *
   * @param boot the boot it happened in
   * @param count the device's count
   * @param kind what it counts as
   * @param seq the target it belongs to, 0 for none
   * @param job the job's id, or {@code null}
   * @param part the part's name, or {@code null}
   * @param stick the stick's number within the job, 0 for none
   * @param wanted the length wanted, or {@code null}
   * @param actual the length made by the position reported, or {@code null}
   * @param position the position reported, or {@code null}
   * @param cutAt the device's own time of the cut, or {@code null}
   * @param remark why it is suspect or unattributed, else {@code null}
   * @param left what remains of the stick in the saw behind this cut, or {@code null} where no
   *     stick was in the saw or nothing was taken from it
   */
  record CutBooked(
      String boot,
      long count,
      CutKind kind,
      long seq,
      @Nullable String job,
      @Nullable String part,
      int stick,
      @Nullable Length wanted,
      @Nullable Length actual,
      @Nullable Length position,
      @Nullable Instant cutAt,
      @Nullable String remark,
      @Nullable Length left)
      implements StationEvent {}

  /**
   * The last piece of a stick was left over by the cut before it, flush, without a cut of its own.
   */
  record PieceRemained(String job, String part, int stick, Length length) implements StationEvent {}

  /**
   * The operator rejected the last part made.
   *
   * @param presses the panel's total of "rejected" this answers
   * @param boot the boot of the cut that made it, or {@code null} for a piece that remained
   * @param count the count of the cut that made it, 0 for a piece that remained
   * @param job the job's id
   * @param part the part's name
   */
  record PieceRejected(long presses, @Nullable String boot, long count, String job, String part)
      implements StationEvent {}

  /**
   * The operator found a defect in the stick in the saw.
   *
   * @param presses the panel's total of "defect" this answers
   * @param stick the stick's number within the job
   * @param sound how much is still good, from the leading end as it lies now
   */
  record DefectFound(long presses, int stick, Length sound) implements StationEvent {}

  /** The operator pressed something that has no meaning now; only the total is kept. */
  record PressIgnored(String button, long presses) implements StationEvent {}

  /** The link came up. */
  record LinkUp() implements StationEvent {}

  /** The link went down. Motion waits for an acknowledge from here on. */
  record LinkDown(String reason) implements StationEvent {}

  /**
   * The device was met for the first time or after a power-up.
   *
   * @param boot its boot id
   * @param count the count from which cuts are booked
   * @param seqFloor the highest sequence number it knows; ours go on above it
   * @param panel the totals of its panel, from which presses count
   */
  record BootSeen(String boot, long count, long seqFloor, OperatorPanel panel)
      implements StationEvent {}

  /** A fault came up. Motion waits until it is gone and acknowledged. */
  record FaultRaised(String code, String text) implements StationEvent {}

  /** The device says the fault is gone. */
  record FaultCleared(String code) implements StationEvent {}

  /** The operator acknowledged at the machine: motion may go on. */
  record Acknowledged(long presses) implements StationEvent {}

  /** The pause switch changed. */
  record PauseSwitched(boolean on) implements StationEvent {}
}
