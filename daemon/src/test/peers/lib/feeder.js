import { Refusal } from './machine.js';
import { INCH, Nodes } from './nodes.js';
import { Deed } from './operator.js';
import { statusWord } from './status-word.js';

const MM = 25.4;
const TRAVEL_IN = { min: 0.5, max: 160, park: 10 };
const CODES = {
  [Refusal.NOT_REFERENCED]: 1,
  [Refusal.NOT_ENABLED]: 2,
  [Refusal.SAW_NOT_HOME]: 3,
  [Refusal.OUT_OF_TRAVEL]: 4,
};

/** The feeder: inches, a strobe and its echo, a status word, a stroke counter, two buttons. */
export const feeder = {
  uri: 'urn:example:feeder-controller',
  range: {
    min: TRAVEL_IN.min * MM,
    max: TRAVEL_IN.max * MM,
    park: TRAVEL_IN.park * MM,
  },
  faultCode: 0x8611,
  leastApartMs: 0,
  stick: true,
  scanMs: 10,
  truthOf: (mm) => (mm / MM).toFixed(6),

  /** Makes the nodes; returns what carries them through one scan. */
  build(addressSpace, place) {
    // A library's namespace comes first, as on a controller that has more on it than this.
    addressSpace.registerNamespace('urn:example:feeder-library');
    const nodes = new Nodes(addressSpace.registerNamespace('urn:example:feeder'));
    declare(nodes, place);
    let strobe = false;
    return (now, machine, panel) => {
      const go = nodes.get('CmdGo');
      let error = nodes.get('CmdErr');
      if (go && !strobe) {
        const refusal = machine.move(nodes.get('CmdPos') * MM, now);
        error = refusal === null ? 0 : CODES[refusal];
      }
      strobe = go;
      nodes.set('ErrorNo', machine.fault);
      nodes.set('ActPos', Number((machine.positionMm / MM).toFixed(5)));
      nodes.set('StatusWord', statusWord(machine));
      nodes.set('Strokes', machine.strokes);
      nodes.set('BladeIn', machine.phase !== 'cut');
      nodes.set('GuardUp', machine.home);
      nodes.set('AckButton', panel.isHeld(Deed.ACK, now));
      nodes.set('StickIn', panel.isHeld(Deed.STICK, now));
      nodes.set('CmdErr', error);
      nodes.set('CmdGoEcho', go);
    };
  },
};

function declare(nodes, place) {
  const machine = nodes.folder('Machine', place, 's=Machine');
  const groups = {};
  for (const name of ['Axis1', 'Saw', 'Panel']) {
    groups[name] = nodes.folder(name, machine, `s=${name}`);
  }
  const add = (group, name, type, more = {}) =>
    nodes.variable(name, {
      parent: groups[group],
      browseName: name,
      nodeId: `s=${group}.${name}`,
      type,
      ...more,
    });
  const inches = { unit: INCH, range: { low: TRAVEL_IN.min, high: TRAVEL_IN.max } };
  add('Axis1', 'ActPos', 'Double', inches);
  add('Axis1', 'CmdPos', 'Double', { ...inches, input: true });
  add('Axis1', 'CmdGo', 'Boolean', { input: true });
  add('Axis1', 'CmdGoEcho', 'Boolean');
  add('Axis1', 'CmdErr', 'UInt16');
  add('Axis1', 'StatusWord', 'UInt16');
  add('Axis1', 'ErrorNo', 'UInt16');
  add('Saw', 'GuardUp', 'Boolean');
  add('Saw', 'BladeIn', 'Boolean');
  add('Saw', 'Strokes', 'UInt32');
  add('Panel', 'AckButton', 'Boolean');
  add('Panel', 'StickIn', 'Boolean');
}
