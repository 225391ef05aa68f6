import { Machine } from './machine.js';
import { Deed, Operator } from './operator.js';
import { Panel } from './panel.js';
import { truthFile } from './truth.js';

/** Puts a machine, its panel and its operator together, as a device's profile and options ask. */
export function bench(profile, options) {
  const write = truthFile(options.truth);
  const machine = new Machine({
    speed: options.speed,
    range: profile.range,
    cuts: options.cuts,
    leastApart: profile.leastApartMs,
    faultAfter: options.faultAfter,
    faultCode: profile.faultCode,
    onCut: (count, mm) => write(count, profile.truthOf(mm)),
  });
  const panel = new Panel();
  const { speed, stray } = options;
  const operator = options.operator ? new Operator({ speed, stray, stick: profile.stick }) : null;

  /** Brings machine and operator to a time. */
  const step = (now) => {
    machine.step(now);
    const deed = operator?.step(now, machine) ?? null;
    if (deed === Deed.STROKE) {
      machine.stroke(now);
    } else if (deed !== null) {
      panel.press(deed, now);
      if (deed === Deed.ACK) {
        machine.reset();
      }
    }
  };
  return { machine, panel, step };
}
