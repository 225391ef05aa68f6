import assert from 'node:assert/strict';
import test from 'node:test';
import { Line2, TOPICS } from '../lib/line2.js';
import { Machine } from '../lib/machine.js';
import { MoveAbsolute } from '../lib/move-absolute.js';
import { Deed } from '../lib/operator.js';
import { HOLD_MS, Panel } from '../lib/panel.js';
import { statusWord } from '../lib/status-word.js';
import { RANGE } from './rig.js';

function ready() {
  const machine = new Machine({ range: RANGE, cuts: 100 });
  machine.step(0);
  machine.step(1000);
  return machine;
}

const up = (outputs) => Object.keys(outputs).filter((name) => outputs[name] === true);

test('a button is up for its time and counted once', () => {
  const panel = new Panel();
  assert.equal(panel.isHeld(Deed.ACK, 0), false);
  panel.press(Deed.ACK, 100);
  assert.ok(panel.isHeld(Deed.ACK, 100 + HOLD_MS - 1));
  assert.ok(!panel.isHeld(Deed.ACK, 100 + HOLD_MS));
  assert.equal(panel.total(Deed.ACK), 1);
  assert.equal(panel.total(Deed.STICK), 0);
});

test('the status word shows operation enabled, reached and referenced, or the fault', () => {
  const machine = ready();
  assert.equal(statusWord(machine), 0x4237);
  machine.move(500, 1000);
  machine.step(5000);
  assert.equal(statusWord(machine), 0x4637);
  machine.stop();
  machine.fault = 1;
  assert.equal(statusWord(machine), 0x4218);
});

test('a move is busy, then done for as long as execute is up', () => {
  const machine = ready();
  const block = new MoveAbsolute();
  block.scan(true, 500, machine, 1000);
  assert.deepEqual(up(block.outputs), ['Busy']);
  machine.step(5000);
  block.scan(true, 500, machine, 5000);
  assert.deepEqual(up(block.outputs), ['Done']);
  block.scan(true, 900, machine, 5100);
  assert.deepEqual(up(block.outputs), ['Done']);
  block.scan(false, 900, machine, 5200);
  assert.deepEqual(up(block.outputs), []);
  assert.equal(machine.targets, 1);
});

test('what came of a move shows for one scan when execute fell before', () => {
  const machine = ready();
  const block = new MoveAbsolute();
  block.scan(true, 500, machine, 1000);
  block.scan(false, 500, machine, 1100);
  assert.deepEqual(up(block.outputs), ['Busy']);
  machine.step(5000);
  block.scan(false, 500, machine, 5000);
  assert.deepEqual(up(block.outputs), ['Done']);
  block.scan(false, 500, machine, 5100);
  assert.deepEqual(up(block.outputs), []);
});

test('a refused move is an error with its code until execute falls', () => {
  const machine = ready();
  const block = new MoveAbsolute();
  block.scan(true, 5000, machine, 1000);
  assert.deepEqual(up(block.outputs), ['Error']);
  assert.equal(block.outputs.ErrorID, 0x13);
  block.scan(true, 5000, machine, 1100);
  assert.deepEqual(up(block.outputs), ['Error']);
  block.scan(false, 5000, machine, 1200);
  assert.deepEqual(up(block.outputs), []);
  assert.equal(block.outputs.ErrorID, 0);
});

test('a move that is stopped is aborted, one that faults is an error', () => {
  const machine = ready();
  const block = new MoveAbsolute();
  block.scan(true, 500, machine, 1000);
  machine.stop();
  block.scan(true, 500, machine, 1100);
  assert.deepEqual(up(block.outputs), ['CommandAborted']);
  block.scan(false, 500, machine, 1200);
  block.scan(true, 500, machine, 1300);
  machine.stop();
  machine.fault = 9;
  block.scan(true, 500, machine, 1400);
  assert.deepEqual(up(block.outputs), ['Error']);
  assert.equal(block.outputs.ErrorID, 0x20);
});

/** A line 2 device and what it has said. */
function line2() {
  const said = [];
  const machine = ready();
  const panel = new Panel();
  const device = new Line2(3, (topic, payload, how) => said.push({ topic, payload, ...how }));
  const command = (text, retained = false, now = 1000) =>
    device.command(Buffer.from(text), retained, machine, now);
  const on = (topic) => said.filter((m) => m.topic === topic).map((m) => m.payload);
  return { said, machine, device, command, on, scan: (now) => device.scan(now, machine, panel) };
}

test('a command is answered by its id, and a repeated one is not carried out again', () => {
  const d = line2();
  d.command('{"go":{"to":505020,"id":17}}');
  d.command('{"go":{"to":505020,"id":17}}');
  d.command('{"go":{"to":5050200,"id":18}}');
  d.command('{"go":{"to":"far"}}');
  d.command('no json');
  assert.deepEqual(d.on(TOPICS.ack), [
    '{"id":17,"code":0}',
    '{"id":17,"code":0}',
    '{"id":18,"code":4}',
    '{"id":0,"code":5}',
    '{"id":0,"code":5}',
  ]);
  assert.equal(d.machine.targets, 1);
  d.scan(1010);
  assert.equal(JSON.parse(d.on(TOPICS.state)[0]).axis.id, 17);
});

test('a retained command is neither carried out nor answered', () => {
  const d = line2();
  d.command('{"go":{"to":505020,"id":17}}', true);
  assert.deepEqual(d.said, []);
  assert.equal(d.machine.targets, 0);
});

test('positions are bounded in rate, repeated at rest, and said before the state', () => {
  const d = line2();
  d.machine.move(3900, 1000);
  for (let now = 1010; now <= 2000; now += 10) {
    d.machine.step(now);
    d.scan(now);
  }
  const moving = d.on(TOPICS.actual).length;
  assert.ok(moving >= 15 && moving <= 21, `${moving} in a second`);
  d.said.length = 0;
  d.machine.step(9000);
  d.scan(9000);
  assert.deepEqual(
    d.said.map((m) => m.topic),
    [TOPICS.actual, TOPICS.state]
  );
  assert.equal(d.said[0].payload, '3900.01');
  d.said.length = 0;
  d.scan(10_999);
  assert.equal(d.said.length, 0);
  d.scan(11_000);
  assert.deepEqual(d.on(TOPICS.actual), ['3900.01']);
});
