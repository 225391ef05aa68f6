package org.kerftally.daemon.conformance;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.kerftally.config.wiring.Signal;
import org.kerftally.shared.device.DeviceSnapshot;
import org.kerftally.shared.length.Length;

/**
 * Says what is wrong with a move and which key of the configuration to look at.
 *
 * <p>A wrong unit shows in two ways. Where the device's zero is ours, the stop ends at so many
 * times the position that was asked for; where it is not, it moves by so many times the step. Both
 * are looked for, and a factor counts only when it is one that units make.
 */
public final class MoveDiagnosis {

  private static final double NEAR = 0.02;

  /** Factors that units make, each either way round: inches, metres, centimetres, halves. */
  private static final List<Factor> FACTORS =
      List.of(
          new Factor(25.4, "one side counts in inches, the other in millimetres"),
          new Factor(
              1_000, "one side counts in metres, the other in millimetres, or in micrometres"),
          new Factor(10, "one side counts in tenths of a millimetre, or in centimetres"),
          new Factor(100, "one side counts in hundredths of a millimetre"),
          new Factor(2, "one side counts half units"));

  private record Factor(double times, String means) {}

  private final MoveFacts move;
  private final SignalKeys keys;
  private final List<String> wrong = new ArrayList<>();

  private MoveDiagnosis(MoveFacts move, SignalKeys keys) {
    this.move = move;
    this.keys = keys;
  }

  /** Returns all that is wrong, the first to mend first; empty for a good move. */
  public static List<String> of(MoveFacts move, SignalKeys keys) {
    MoveDiagnosis diagnosis = new MoveDiagnosis(move, keys);
    diagnosis.look();
    return List.copyOf(diagnosis.wrong);
  }

  private void look() {
    if (!move.sent()) {
      wrong.add(
          "nothing was sent: the link was lost, or the target had expired before it went out.");
      return;
    }
    cuts();
    if (move.lost() != null) {
      wrong.add(
          "the link was lost ("
              + move.lost()
              + "). Nothing is sent again; look at the machine where the stop stands.");
    }
    answer();
    if (!move.isTaken()) {
      if (move.everMoved()) {
        wrong.add(
            "the stop moved all the same, to "
                + Figures.mm(move.farthest())
                + " at the farthest: somebody or something else moves it.");
      }
      return;
    }
    echo();
    place();
    permits();
  }

  private void cuts() {
    if (move.cuts() != 0) {
      wrong.add(
          "the device counted "
              + move.cuts()
              + (move.cuts() == 1 ? " saw cycle" : " saw cycles")
              + " meanwhile. Nobody should cut now: lock the blade out. If nobody cut, "
              + keys.of(Signal.CUT_COUNT)
              + " is not the counter of strokes.");
    }
    if (!move.last().boot().equals(move.before().boot())) {
      wrong.add(
          "the device started anew meanwhile. If it did not, "
              + keys.of(Signal.BOOT_ID)
              + " changes when it should not.");
    }
  }

  private void answer() {
    if (Boolean.FALSE.equals(move.accepted())) {
      String why = move.reason();
      wrong.add("the device refused the target: " + (why == null ? "no reason given" : why) + ".");
    } else if (move.accepted() == null && move.echoAfter() == null && move.lost() == null) {
      wrong.add(
          "the device did not answer within the target's validity, so the target is void. `signals`"
              + " shows whether strobe, number or message arrive and whether the answer comes back; look at "
              + keys.move()
              + ".");
    } else if (move.accepted() == null && move.lost() == null) {
      wrong.add(
          "the device shows the target's number but did not answer within its validity: look at "
              + keys.move()
              + ", or raise target-validity.");
    }
  }

  private void echo() {
    if (move.last().activeSequence() != move.seq()) {
      wrong.add(
          "the device took the target, but does not echo its number: it shows "
              + move.last().activeSequence()
              + (move.echoAfter() == null ? "" : " after it had shown it once")
              + ", expected "
              + move.seq()
              + ". Look at "
              + keys.of(Signal.ACTIVE_SEQUENCE)
              + ", or write `lacks: { ActiveSequence: remembered }`.");
    }
  }

  private void place() {
    DeviceSnapshot last = move.last();
    if (move.isWithin()) {
      early();
      if (!last.targetReached() && last.activeSequence() == move.seq()) {
        wrong.add(
            "the stop stands within its window, but the device does not say so. Look at "
                + keys.of(Signal.TARGET_REACHED)
                + " (bit, mask, not), or write `lacks: { TargetReached: by-position }`.");
      }
      return;
    }
    if (!move.everMoved()) {
      wrong.add(
          "the position did not change"
              + (last.targetReached() ? ", although the device says in position. " : ". ")
              + "If the stop did move, "
              + keys.of(Signal.POSITION_ACTUAL_VALUE)
              + " is not the position read by the drive; if it did not, look whether the drive is in"
              + " an automatic mode, and at "
              + keys.move()
              + ".");
      return;
    }
    String sign = sign();
    String factor = sign == null ? factor() : null;
    if (sign != null) {
      wrong.add(sign);
    } else if (factor != null) {
      wrong.add(factor);
    } else {
      wrong.add(
          "the stop stands "
              + Figures.signed(move.off())
              + " from its target, which is outside its window of "
              + Figures.mm(move.window())
              + ". If the rule says the same, look at the drive; if not, at the unit of "
              + keys.of(Signal.POSITION_ACTUAL_VALUE)
              + ".");
    }
  }

  /** A stop that ends elsewhere is wrong for another reason, which is told in place of this. */
  private void early() {
    Length at = move.earlyAt();
    if (at == null) {
      return;
    }
    wrong.add(
        "the device said in position while it read "
            + Figures.mm(at)
            + ", "
            + Figures.mm(at.minus(move.wanted()).abs())
            + " from the target; the window is "
            + Figures.mm(move.window())
            + ". Look at "
            + keys.of(Signal.TARGET_REACHED)
            + ": which bit, and is it this target's? Or give it time with in-position.");
  }

  private @Nullable String sign() {
    Length near = move.window().max(Length.ofNm(move.step().abs().nm() / 10));
    boolean mirrored = !move.last().position().plus(move.wanted()).abs().isMoreThan(near);
    boolean backwards = !move.moved().plus(move.step()).abs().isMoreThan(near);
    if (!mirrored && !backwards) {
      return null;
    }
    return "the position moved the wrong way: "
        + Figures.signed(move.moved())
        + " in place of "
        + Figures.signed(move.step())
        + ". `reversed` belongs to one of "
        + keys.of(Signal.POSITION_ACTUAL_VALUE)
        + " and "
        + keys.written()
        + " and not to the other as it stands: see which way the stop really went.";
  }

  private @Nullable String factor() {
    double whole = ratio(move.last().position(), move.wanted());
    double steps = ratio(move.moved(), move.step());
    for (Factor factor : FACTORS) {
      for (double ratio : new double[] {whole, steps}) {
        boolean more = near(Math.abs(ratio), factor.times);
        if (more || near(Math.abs(ratio), 1 / factor.times)) {
          return "the stop went "
              + Figures.signed(move.moved())
              + " in place of "
              + Figures.signed(move.step())
              + ": a factor of "
              + (more ? "" : "1/")
              + plain(factor.times)
              + (ratio < 0 ? ", and the other way" : "")
              + ". Most likely "
              + factor.means
              + ": look at `unit` of "
              + keys.of(Signal.POSITION_ACTUAL_VALUE)
              + " and of "
              + keys.written()
              + ".";
        }
      }
    }
    return null;
  }

  private static double ratio(Length is, Length wanted) {
    return wanted.nm() == 0 ? 0 : (double) is.nm() / wanted.nm();
  }

  private static boolean near(double ratio, double factor) {
    return Math.abs(ratio / factor - 1) < NEAR;
  }

  private static String plain(double times) {
    return times == Math.rint(times) ? Long.toString((long) times) : Double.toString(times);
  }

  private void permits() {
    if (!move.isGood()) {
      Permits.missing(move.last()).forEach(missing -> wrong.add("now " + missing));
    }
  }
}
