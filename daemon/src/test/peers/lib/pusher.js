import { MoveAbsolute } from './move-absolute.js';
import { Nodes } from './nodes.js';
import { Deed } from './operator.js';

const ORIGIN_COUNTS = 400_000;
const COUNTS_PER_MM = 80;
const TRAVEL_MM = { min: 50, max: 4500, park: 250 };
const REMOTE = 2;
const PULSE_MS = 350;

/** The axis counts down: the further the pusher is from the saw, the lower the number. */
const toCounts = (mm) => Math.round(ORIGIN_COUNTS - COUNTS_PER_MM * mm);
const toMm = (counts) => (ORIGIN_COUNTS - counts) / COUNTS_PER_MM;

/** The pusher: encoder counts, a function block, a pulse for each cut and one button. */
export const pusher = {
  uri: 'urn:example:pusher-controller',
  range: TRAVEL_MM,
  faultCode: 417,
  // A pulse has to be down for as long as it is up, for its reader to tell two from one.
  leastApartMs: 2 * PULSE_MS,
  stick: false,
  scanMs: 100,
  truthOf: (mm) => String(toCounts(mm)),

  /** Makes the nodes; returns what carries them through one scan. */
  build(addressSpace, place) {
    const nodes = new Nodes(addressSpace.registerNamespace('urn:example:pusher'));
    declare(nodes, place);
    const block = new MoveAbsolute();
    let cuts = 0;
    let pulseEnds = -Infinity;
    return (now, machine, panel) => {
      block.scan(nodes.get('Execute'), toMm(nodes.get('Position')), machine, now);
      if (machine.strokes !== cuts) {
        cuts = machine.strokes;
        pulseEnds = now + PULSE_MS;
      }
      nodes.set('ActualPosition', toCounts(machine.positionMm));
      nodes.set('Alarm', machine.fault);
      nodes.set('Ready', machine.enabled);
      nodes.set('Referenced', machine.referenced);
      nodes.set('RemoteMode', REMOTE);
      nodes.set('CutMade', now < pulseEnds);
      nodes.set('Home', machine.home);
      nodes.set('Reset', panel.isHeld(Deed.ACK, now));
      for (const [name, value] of Object.entries(block.outputs)) {
        nodes.set(name, value);
      }
    };
  },
};

const GROUPS = {
  Axis: {
    id: 100,
    variables: [
      ['ActualPosition', 'Int32'],
      ['Ready', 'Boolean'],
      ['Referenced', 'Boolean'],
      ['RemoteMode', 'Int16'],
      ['Alarm', 'UInt16'],
    ],
  },
  MoveAbs: {
    id: 200,
    variables: [
      ['Execute', 'Boolean', true],
      ['Position', 'Int32', true],
      ['Busy', 'Boolean'],
      ['Done', 'Boolean'],
      ['CommandAborted', 'Boolean'],
      ['Error', 'Boolean'],
      ['ErrorID', 'UInt16'],
    ],
  },
  Saw: {
    id: 300,
    variables: [
      ['CutMade', 'Boolean'],
      ['Home', 'Boolean'],
    ],
  },
  Panel: { id: 400, variables: [['Reset', 'Boolean']] },
};

function declare(nodes, place) {
  const pusherNode = nodes.folder('Pusher', place, 'i=1');
  for (const [group, { id, variables }] of Object.entries(GROUPS)) {
    const parent = nodes.folder(group, pusherNode, `i=${id}`);
    variables.forEach(([name, type, input = false], i) =>
      nodes.variable(name, { parent, browseName: name, nodeId: `i=${id + 1 + i}`, type, input })
    );
  }
}
