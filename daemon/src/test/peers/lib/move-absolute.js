import { Refusal } from './machine.js';

const CODES = {
  [Refusal.NOT_REFERENCED]: 0x10,
  [Refusal.NOT_ENABLED]: 0x11,
  [Refusal.SAW_NOT_HOME]: 0x12,
  [Refusal.OUT_OF_TRAVEL]: 0x13,
};
const AXIS_FAULT = 0x20;

/**
 * One function block MC_MoveAbsolute, by the rules of PLCopen motion control, part 1: a rising edge
 * of Execute begins, Busy, Done, CommandAborted and Error exclude one another, and what came of the
 * move shows for as long as Execute stays up, for one scan at the least.
 */
export class MoveAbsolute {
  #execute = false;
  #result = null;
  #errorId = 0;
  #busy = false;
  #shown = false;

  /** One scan: inputs as they are now, and the machine they act on. */
  scan(execute, positionMm, machine, now) {
    if (execute && !this.#execute) {
      this.#begin(positionMm, machine, now);
    } else if (!execute && this.#shown) {
      this.#result = null;
    }
    this.#execute = execute;
    if (this.#busy && !machine.held) {
      this.#end(machine.fault === 0 ? 'aborted' : 'error', AXIS_FAULT);
    } else if (this.#busy && machine.reached) {
      this.#end('done', 0);
    }
    this.#shown = this.#result !== null;
  }

  #begin(positionMm, machine, now) {
    const wasBusy = this.#busy;
    const refusal = machine.move(positionMm, now);
    this.#result = null;
    this.#busy = refusal === null;
    if (refusal !== null) {
      if (wasBusy) {
        // The older move goes on no more: its caller is told of the newer one alone.
        machine.stop();
      }
      this.#end('error', CODES[refusal]);
    }
  }

  #end(result, errorId) {
    this.#busy = false;
    this.#result = result;
    this.#errorId = errorId;
  }

  get outputs() {
    const error = this.#result === 'error';
    return {
      Busy: this.#busy,
      Done: this.#result === 'done',
      CommandAborted: this.#result === 'aborted',
      Error: error,
      ErrorID: error ? this.#errorId : 0,
    };
  }
}
