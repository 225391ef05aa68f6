// Push buttons: levels that stay up long enough for a slow reader, and totals of presses.

/** Real time, whatever the speed: a reader that looks every 300 ms has to see each press. */
export const HOLD_MS = 350;

export class Panel {
  #until = new Map();
  #totals = new Map();

  press(button, now) {
    this.#until.set(button, now + HOLD_MS);
    this.#totals.set(button, this.total(button) + 1);
  }

  isHeld(button, now) {
    return now < (this.#until.get(button) ?? -Infinity);
  }

  total(button) {
    return this.#totals.get(button) ?? 0;
  }
}
