import { Refusal } from './machine.js';
import { Deed } from './operator.js';

export const TOPICS = Object.freeze({
  actual: 'plant/line2/stop/actual',
  state: 'plant/line2/stop/state',
  alive: 'plant/line2/stop/alive',
  cmd: 'plant/line2/stop/cmd',
  ack: 'plant/line2/stop/ack',
});

const CODES = {
  [Refusal.NOT_REFERENCED]: 1,
  [Refusal.NOT_ENABLED]: 2,
  [Refusal.SAW_NOT_HOME]: 3,
  [Refusal.OUT_OF_TRAVEL]: 4,
};
const MALFORMED = 5;
const UM_PER_MM = 1000;
const MAX_ID = 2_147_483_647;
const MAX_COMMAND_BYTES = 1024;
const LEAST_BETWEEN_POSITIONS_MS = 50;
const REPEAT_MS = 2000;

/** Line 2: positions as plain text, the rest as one JSON object, commands answered by their id. */
export const line2 = {
  range: { min: 20, max: 4000, park: 1000 },
  faultCode: 23,
  leastApartMs: 0,
  stick: true,
  scanMs: 10,
  truthOf: (mm) => mm.toFixed(2),
};

/** Tells what is to be published, by topic, and what a command is answered. */
export class Line2 {
  #powerups;
  #publish;
  #actual = '';
  #actualAt = -Infinity;
  #state = '';
  #id = 0;
  #asked = 0;
  #answered = 0;

  /**
   * @param powerups how often the device was powered up, this time among them
   * @param publish (topic, payload, {qos, retain}), sends a message
   */
  constructor(powerups, publish) {
    this.#powerups = powerups;
    this.#publish = publish;
  }

  /** One scan: publishes what has changed. */
  scan(now, machine, panel) {
    const actual = machine.positionMm.toFixed(2);
    const state = JSON.stringify(this.#stateOf(machine, panel));
    const age = now - this.#actualAt;
    const stateChanged = state !== this.#state;
    // Whoever reads "in position" has the position already.
    const changed = actual !== this.#actual && (age >= LEAST_BETWEEN_POSITIONS_MS || stateChanged);
    if (changed || age >= REPEAT_MS) {
      this.#actual = actual;
      this.#actualAt = now;
      this.#publish(TOPICS.actual, actual, { qos: 0, retain: true });
    }
    if (stateChanged) {
      this.#state = state;
      this.#publish(TOPICS.state, state, { qos: 1, retain: true });
    }
  }

  /** Publishes everything anew, at the next scan. */
  forget() {
    this.#actual = '';
    this.#actualAt = -Infinity;
    this.#state = '';
  }

  /** Carries out one message on the command topic, or does not, and answers. */
  command(payload, retained, machine, now) {
    if (retained) {
      return;
    }
    const go = parsed(payload);
    if (go === null) {
      this.#answer(0, MALFORMED);
    } else if (go.id === this.#asked) {
      // Delivered at least once: the second time it is an echo.
      this.#answer(go.id, this.#answered);
    } else {
      const refusal = machine.move(go.to / UM_PER_MM, now);
      this.#asked = go.id;
      this.#answered = refusal === null ? 0 : CODES[refusal];
      if (refusal === null) {
        this.#id = go.id;
      }
      this.#answer(go.id, this.#answered);
    }
  }

  #answer(id, code) {
    this.#publish(TOPICS.ack, JSON.stringify({ id, code }), { qos: 1, retain: false });
  }

  #stateOf(machine, panel) {
    return {
      axis: {
        ref: machine.referenced ? 1 : 0,
        on: machine.enabled ? 1 : 0,
        mode: 'remote',
        inpos: machine.reached ? 1 : 0,
        err: machine.fault,
        id: machine.held ? this.#id : 0,
      },
      saw: { phase: machine.phase },
      n: { strokes: machine.strokes, powerups: this.#powerups },
      keys: { ack: panel.total(Deed.ACK), stick: panel.total(Deed.STICK) },
    };
  }
}

function parsed(payload) {
  if (payload.length > MAX_COMMAND_BYTES) {
    return null;
  }
  try {
    const { to, id } = JSON.parse(payload.toString('utf8')).go;
    return Number.isInteger(to) && Number.isInteger(id) && id > 0 && id <= MAX_ID
      ? { to, id }
      : null;
  } catch {
    return null;
  }
}
