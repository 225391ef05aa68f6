// The person at a device: presses buttons and strokes the saw, by what the machine shows and by how
// long ago something last happened. Like the machine it is told the time and has no timer.

const FIRST_ACK_MS = 1000;
const STICK_MS = 1500;
const STRAY_MS = 800;
const ACK_MS = 4000;
const DWELL_MS = 600;
// A hand is no faster, however fast the machine is: what a button held for 350 ms needs to be seen.
const LEAST_DWELL_MS = 200;
const LEAST_BETWEEN_PRESSES_MS = 800;

/** What the operator does now. */
export const Deed = Object.freeze({ ACK: 'ack', STICK: 'stick', STROKE: 'stroke' });

export class Operator {
  #speed;
  #stray;
  #hasStick;
  #since = null;
  #lastPress = -Infinity;
  #pressed = { [Deed.ACK]: -Infinity, [Deed.STICK]: -Infinity };
  #targets = 0;
  #strokes = 0;
  #armed = false;
  #stoodSince = null;

  /**
   * @param speed how many times faster than a person, as far as hands go
   * @param stray how many strokes to make without a target, each after a cut of a target
   * @param stick whether there is a button for a loaded stick
   */
  constructor({ speed = 1, stray = 0, stick = true }) {
    this.#speed = speed;
    this.#stray = stray;
    this.#hasStick = stick;
  }

  /** Returns what the operator does at a time, or null; a Machine is what there is to see. */
  step(now, machine) {
    this.#since ??= now;
    this.#notice(now, machine);
    if (this.#armed) {
      return this.#cutWhenStood(now, machine);
    }
    if (this.#strays(now, machine)) {
      return Deed.STROKE;
    }
    return this.#press(now, machine);
  }

  #notice(now, machine) {
    if (machine.targets !== this.#targets) {
      this.#targets = machine.targets;
      this.#armed = true;
      this.#stoodSince = null;
      this.#since = now;
    }
    if (machine.strokes !== this.#strokes) {
      this.#strokes = machine.strokes;
      this.#armed = false;
      this.#since = now;
    }
    if (!machine.held) {
      this.#armed = false;
    }
  }

  // Once a target: a second cut takes a second target, be it the same place.
  #cutWhenStood(now, machine) {
    if (!machine.reached || !machine.home) {
      this.#stoodSince = null;
      return null;
    }
    this.#stoodSince ??= now;
    const dwell = Math.max(LEAST_DWELL_MS, DWELL_MS / this.#speed);
    return now - this.#stoodSince >= dwell ? Deed.STROKE : null;
  }

  #strays(now, machine) {
    const due =
      this.#stray > 0 &&
      machine.strokes > 0 &&
      machine.home &&
      !machine.moving &&
      machine.enabled &&
      now - this.#since >= STRAY_MS / this.#speed;
    if (due) {
      this.#stray--;
      this.#since = now;
    }
    return due;
  }

  #press(now, machine) {
    if (!machine.home || machine.moving || now - this.#lastPress < LEAST_BETWEEN_PRESSES_MS) {
      return null;
    }
    const due = [];
    const firstAck = this.#pressed[Deed.ACK] === -Infinity;
    if (this.#isDue(Deed.ACK, now, firstAck ? FIRST_ACK_MS : ACK_MS)) {
      due.push(Deed.ACK);
    }
    if (this.#hasStick && !firstAck && this.#isDue(Deed.STICK, now, STICK_MS)) {
      due.push(Deed.STICK);
    }
    if (due.length === 0) {
      return null;
    }
    const deed = due.reduce((a, b) => (this.#pressed[b] < this.#pressed[a] ? b : a));
    this.#pressed[deed] = now;
    this.#lastPress = now;
    return deed;
  }

  #isDue(deed, now, ms) {
    return now - Math.max(this.#since, this.#pressed[deed]) >= ms / this.#speed;
  }
}
