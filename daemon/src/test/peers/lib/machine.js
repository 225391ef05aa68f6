// A stop on an axis beside a saw, as every device here has them: what moves, and what is refused.
// It has no timer: whoever owns it says the time, in milliseconds, as often as its controller scans.

/** Why a move is not begun; each device has codes of its own for them. */
export const Refusal = Object.freeze({
  NOT_REFERENCED: 'not-referenced',
  NOT_ENABLED: 'not-enabled',
  SAW_NOT_HOME: 'saw-not-home',
  OUT_OF_TRAVEL: 'out-of-travel',
});

const REFERENCE_MS = 500;
const MM_PER_MS = 0.8;
const SETTLE_MS = 120;
const SAW_PHASES = [
  ['clamp', 250],
  ['cut', 500],
  ['clamp', 250],
];
// However fast the rest is: shorter than this no controller would see a phase.
const LEAST_PHASE_MS = 40;
// The stop comes to rest within this of where it should, never twice in a row at the same place.
const REST_MM = [0.01, -0.02, 0, 0.02, -0.01];

export class Machine {
  #speed;
  #range;
  #mostCuts;
  #leastApart;
  #faultAfter;
  #faultCode;
  #onCut;
  #started = null;
  #move = null;
  #moves = 0;
  #phase = -1;
  #phaseEnds = 0;
  #lastCut = -Infinity;

  /**
   * @param speed how many times faster than a real one
   * @param range {min, max, park} in mm
   * @param cuts the most saw cycles it makes
   * @param leastApart the least time from the end of a cycle to the next beginning, ms
   * @param faultAfter the cycle after which the axis faults once, 0 for none
   * @param faultCode what it faults with
   * @param onCut (count, positionMm), called before a cycle is shown to anybody
   */
  constructor({
    speed = 1,
    range,
    cuts,
    leastApart = 0,
    faultAfter = 0,
    faultCode = 1,
    onCut = () => {},
  }) {
    this.#speed = speed;
    this.#range = range;
    this.#mostCuts = cuts;
    this.#leastApart = leastApart;
    this.#faultAfter = faultAfter;
    this.#faultCode = faultCode;
    this.#onCut = onCut;
    this.positionMm = range.park;
    this.referenced = false;
    this.fault = 0;
    /** How many moves were begun. */
    this.targets = 0;
    /** Whether the last move begun still counts: not stopped, no fault since. */
    this.held = false;
    this.reached = false;
    this.strokes = 0;
  }

  /** home, clamp or cut. */
  get phase() {
    return this.#phase < 0 ? 'home' : SAW_PHASES[this.#phase][0];
  }

  get home() {
    return this.#phase < 0;
  }

  get moving() {
    return this.#move !== null;
  }

  get enabled() {
    return this.fault === 0;
  }

  /** Brings everything to a time; times never fall. */
  step(now) {
    this.#started ??= now;
    // The encoder keeps its place while the power is off: reading it moves nothing.
    this.referenced ||= now - this.#started >= REFERENCE_MS / this.#speed;
    this.#stepMove(now);
    while (this.#phase >= 0 && now >= this.#phaseEnds) {
      this.#nextPhase(now);
    }
  }

  /** Begins a move, also in the middle of another; returns null or why not. */
  move(mm, now) {
    const refusal = this.#refusal(mm);
    if (refusal !== null) {
      return refusal;
    }
    const rest = mm + REST_MM[this.#moves++ % REST_MM.length];
    const ms = Math.abs(rest - this.positionMm) / (MM_PER_MS * this.#speed);
    this.#move = { from: this.positionMm, to: rest, begins: now, ms };
    this.targets++;
    this.held = true;
    this.reached = false;
    return null;
  }

  #refusal(mm) {
    if (!this.referenced) {
      return Refusal.NOT_REFERENCED;
    }
    if (!this.enabled) {
      return Refusal.NOT_ENABLED;
    }
    if (!this.home) {
      return Refusal.SAW_NOT_HOME;
    }
    return mm >= this.#range.min && mm <= this.#range.max ? null : Refusal.OUT_OF_TRAVEL;
  }

  /** Stops the axis where it is: the target counts no more. */
  stop() {
    this.#move = null;
    this.held = false;
    this.reached = false;
  }

  /** Begins a saw cycle; returns whether it does. */
  stroke(now) {
    const may =
      this.home &&
      !this.moving &&
      this.enabled &&
      this.strokes < this.#mostCuts &&
      now - this.#lastCut >= this.#leastApart;
    if (may) {
      this.#phase = 0;
      this.#phaseEnds = now + this.#phaseMs();
    }
    return may;
  }

  /** Clears a fault; moves nothing. */
  reset() {
    this.fault = 0;
  }

  #stepMove(now) {
    const move = this.#move;
    if (move === null) {
      return;
    }
    const done = move.ms === 0 ? 1 : Math.min(1, (now - move.begins) / move.ms);
    this.positionMm = move.from + (move.to - move.from) * done;
    if (now - move.begins >= move.ms + SETTLE_MS / this.#speed) {
      this.positionMm = move.to;
      this.#move = null;
      this.reached = true;
    }
  }

  #phaseMs() {
    return Math.max(LEAST_PHASE_MS, SAW_PHASES[this.#phase][1] / this.#speed);
  }

  #nextPhase(now) {
    if (this.#phase + 1 < SAW_PHASES.length) {
      this.#phase++;
      this.#phaseEnds += this.#phaseMs();
      return;
    }
    this.#onCut(this.strokes + 1, this.positionMm);
    this.#phase = -1;
    this.#lastCut = now;
    this.strokes++;
    if (this.strokes === this.#faultAfter) {
      this.stop();
      this.fault = this.#faultCode;
    }
  }
}
