package org.kerftally.sim;

import java.nio.file.Path;
import org.jspecify.annotations.Nullable;
import org.kerftally.shared.length.Length;

/**
 * Holds everything a simulated device is made from.
 *
 * @param station the station's name, for servers and messages
 * @param motion how the stop moves
 * @param saw how long the saw takes
 * @param operator the person at the machine
 * @param speed how many simulated seconds pass in a real one, positive
 * @param seed the seed of every chance in the simulation
 * @param travelMin the lowest position the stop can take
 * @param travelMax the highest position the stop can take, more than {@code travelMin}
 * @param truth the file that gets one line a counted cycle, or {@code null}
 * @param memory the file that stands for the non-volatile memory, or {@code null} for none
 * @param script the file of timed actions, or {@code null}
 * @param moves the file that gets a line a power-up, press and move, or {@code null}
 */
public record SimConfig(
    String station,
    MotionProfile motion,
    SawTimes saw,
    OperatorModel operator,
    double speed,
    long seed,
    Length travelMin,
    Length travelMax,
    @Nullable Path truth,
    @Nullable Path memory,
    @Nullable Path script,
    @Nullable Path moves) {

  /** The fastest a simulation may run: beyond it the host's scheduler decides, not the model. */
  public static final double MAX_SPEED = 10_000;

  /** Checks speed and travel. */
  public SimConfig {
    if (!(speed > 0 && speed <= MAX_SPEED)) {
      throw new IllegalArgumentException("speed must be above 0 and at most 10000: " + speed);
    }
    if (!travelMin.isLessThan(travelMax)) {
      throw new IllegalArgumentException(
          "travel must have an extent: " + travelMin + " to " + travelMax);
    }
  }

  /** Returns a device with the standard figures, real time, seed 1, 0 to 6500 mm and no files. */
  public static SimConfig standard(String station) {
    return new SimConfig(
        station,
        MotionProfile.STANDARD,
        SawTimes.STANDARD,
        OperatorModel.STANDARD,
        1,
        1,
        Length.ZERO,
        Length.ofMm(6500),
        null,
        null,
        null,
        null);
  }

  /** Returns the same with another motion profile. */
  public SimConfig withMotion(MotionProfile other) {
    return new SimConfig(
        station, other, saw, operator, speed, seed, travelMin, travelMax, truth, memory, script,
        moves);
  }

  /** Returns the same with other saw times. */
  public SimConfig withSaw(SawTimes other) {
    return new SimConfig(
        station, motion, other, operator, speed, seed, travelMin, travelMax, truth, memory, script,
        moves);
  }

  /** Returns the same with another operator. */
  public SimConfig withOperator(OperatorModel other) {
    return new SimConfig(
        station, motion, saw, other, speed, seed, travelMin, travelMax, truth, memory, script,
        moves);
  }

  /** Returns the same at another speed. */
  public SimConfig withSpeed(double other) {
    return new SimConfig(
        station, motion, saw, operator, other, seed, travelMin, travelMax, truth, memory, script,
        moves);
  }

  /** Returns the same with another seed. */
  public SimConfig withSeed(long other) {
    return new SimConfig(
        station, motion, saw, operator, speed, other, travelMin, travelMax, truth, memory, script,
        moves);
  }

  /** Returns the same with another travel. */
  public SimConfig withTravel(Length min, Length max) {
    return new SimConfig(
        station, motion, saw, operator, speed, seed, min, max, truth, memory, script, moves);
  }

  /** Returns the same with another truth file, {@code null} for none. */
  public SimConfig withTruth(@Nullable Path other) {
    return new SimConfig(
        station, motion, saw, operator, speed, seed, travelMin, travelMax, other, memory, script,
        moves);
  }

  /** Returns the same with another memory file, {@code null} for none. */
  public SimConfig withMemory(@Nullable Path other) {
    return new SimConfig(
        station, motion, saw, operator, speed, seed, travelMin, travelMax, truth, other, script,
        moves);
  }

  /** Returns the same with another script, {@code null} for none. */
  public SimConfig withScript(@Nullable Path other) {
    return new SimConfig(
        station, motion, saw, operator, speed, seed, travelMin, travelMax, truth, memory, other,
        moves);
  }

  /** Returns the same with another moves file, {@code null} for none. */
  public SimConfig withMoves(@Nullable Path other) {
    return new SimConfig(
        station, motion, saw, operator, speed, seed, travelMin, travelMax, truth, memory, script,
        other);
  }
}
