import assert from 'node:assert/strict';
import test from 'node:test';
import { Machine, Refusal } from '../lib/machine.js';
import { RANGE } from './rig.js';

function machine(more = {}) {
  const made = new Machine({ range: RANGE, cuts: 100, ...more });
  made.step(0);
  return made;
}

/** A machine that stands at its target. */
function standing(more) {
  const saw = machine(more);
  saw.step(1000);
  saw.move(500, 1000);
  saw.step(5000);
  assert.ok(saw.reached);
  return saw;
}

test('a move is refused with its reason and changes nothing', () => {
  const saw = machine();
  assert.equal(saw.move(500, 0), Refusal.NOT_REFERENCED);
  saw.step(1000);
  assert.equal(saw.move(4000.1, 1000), Refusal.OUT_OF_TRAVEL);
  assert.equal(saw.move(NaN, 1000), Refusal.OUT_OF_TRAVEL);
  assert.equal(saw.targets, 0);
  assert.equal(saw.positionMm, RANGE.park);
});

test('a target is not reached from the moment a new one is taken', () => {
  const saw = standing();
  saw.move(500, 5000);
  assert.ok(!saw.reached);
  saw.step(5010);
  assert.ok(!saw.reached);
  saw.step(6000);
  assert.ok(saw.reached);
});

test('the saw does not begin while the stop moves, nor the stop while the saw is out', () => {
  const saw = standing();
  saw.move(900, 5000);
  saw.step(5100);
  assert.ok(saw.moving);
  assert.equal(saw.stroke(5100), false);
  saw.step(9000);
  assert.equal(saw.stroke(9000), true);
  assert.equal(saw.move(500, 9100), Refusal.SAW_NOT_HOME);
});

test('a cycle goes through its phases and is written down before it is counted', () => {
  const written = [];
  const saw = standing({ onCut: (count, mm) => written.push([count, mm, saw.strokes, saw.home]) });
  saw.stroke(5000);
  const phases = [];
  for (let now = 5000; now <= 6100; now += 10) {
    saw.step(now);
    if (phases.at(-1) !== saw.phase) {
      phases.push(saw.phase);
    }
  }
  assert.deepEqual(phases, ['clamp', 'cut', 'clamp', 'home']);
  assert.deepEqual(written, [[1, 500.01, 0, false]]);
  assert.equal(saw.strokes, 1);
});

test('cycles are bounded in number and keep apart', () => {
  const saw = standing({ cuts: 2, leastApart: 700 });
  assert.ok(saw.stroke(5000));
  saw.step(6000);
  assert.equal(saw.strokes, 1);
  assert.ok(!saw.stroke(6699));
  assert.ok(saw.stroke(6700));
  saw.step(8000);
  assert.equal(saw.strokes, 2);
  assert.ok(!saw.stroke(9000));
});

test('a fault voids the target until it is reset, and a reset moves nothing', () => {
  const saw = standing({ faultAfter: 1, faultCode: 7 });
  saw.stroke(5000);
  saw.step(6000);
  assert.equal(saw.fault, 7);
  assert.ok(!saw.held && !saw.reached && !saw.enabled);
  assert.equal(saw.move(600, 6000), Refusal.NOT_ENABLED);
  saw.reset();
  saw.step(9000);
  assert.ok(saw.enabled && !saw.moving && !saw.reached);
  assert.equal(saw.move(600, 9000), null);
});
