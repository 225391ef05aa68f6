import { Machine } from '../lib/machine.js';
import { Deed, Operator } from '../lib/operator.js';

const SCAN_MS = 10;

export const RANGE = { min: 20, max: 4000, park: 1000 };

/** Makes a machine with its operator, and a clock that is moved by hand. */
export function rig({ machine = {}, operator = {} } = {}) {
  const cuts = [];
  const saw = new Machine({
    range: RANGE,
    cuts: 100,
    onCut: (count, mm) => cuts.push({ count, mm, shown: saw.strokes }),
    ...machine,
  });
  const person = new Operator(operator);
  const deeds = [];
  let now = 0;
  return {
    saw,
    cuts,
    deeds,
    now: () => now,
    did: (deed) => deeds.filter((d) => d.deed === deed),
    /** Lets time pass, with the operator at the machine. */
    pass(ms) {
      for (const until = now + ms; now < until; ) {
        now += SCAN_MS;
        saw.step(now);
        const deed = person.step(now, saw);
        if (deed === Deed.STROKE) {
          deeds.push({ deed, at: now, begun: saw.stroke(now) });
        } else if (deed !== null) {
          deeds.push({ deed, at: now });
        }
      }
    },
  };
}
