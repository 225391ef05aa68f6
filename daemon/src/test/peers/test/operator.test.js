import assert from 'node:assert/strict';
import test from 'node:test';
import { Deed } from '../lib/operator.js';
import { rig } from './rig.js';

test('without a target the saw is never stroked', () => {
  const r = rig();
  r.pass(60_000);
  assert.equal(r.did(Deed.STROKE).length, 0);
  assert.ok(r.did(Deed.ACK).length > 1);
});

test('acknowledges once after the start, and before any stick is loaded', () => {
  const r = rig();
  r.pass(1400);
  assert.deepEqual(
    r.deeds.map((d) => d.deed),
    [Deed.ACK]
  );
  r.pass(1000);
  assert.equal(r.did(Deed.STICK).length, 1);
});

test('a target that was reached and stood is cut once', () => {
  const r = rig();
  r.pass(2000);
  assert.equal(r.saw.move(505, r.now()), null);
  r.pass(3000);
  assert.deepEqual(r.cuts, [{ count: 1, mm: 505.01, shown: 0 }]);
  r.pass(20_000);
  assert.equal(r.cuts.length, 1);
  assert.equal(r.saw.move(505, r.now()), null);
  r.pass(3000);
  assert.equal(r.cuts.length, 2);
});

test('no button is pressed while a target waits for its cut', () => {
  const r = rig({ machine: { speed: 0.5 } });
  r.pass(2500);
  r.saw.move(3900, r.now());
  const before = r.deeds.length;
  r.pass(6000);
  assert.ok(r.saw.moving);
  assert.equal(r.deeds.length, before);
});

test('stray strokes come after a cut, as many as were asked for', () => {
  const r = rig({ operator: { stray: 2 } });
  r.pass(10_000);
  assert.equal(r.cuts.length, 0);
  r.saw.move(505, r.now());
  r.pass(20_000);
  assert.equal(r.cuts.length, 3);
});

test('presses keep a hand’s distance however fast the operator is', () => {
  const r = rig({ operator: { speed: 1000 } });
  r.pass(20_000);
  const times = r.deeds.map((d) => d.at);
  assert.ok(times.length > 10);
  times.slice(1).forEach((at, i) => assert.ok(at - times[i] >= 800));
  assert.ok(Math.abs(r.did(Deed.ACK).length - r.did(Deed.STICK).length) <= 1);
});

test('without a stick button only the acknowledge is pressed', () => {
  const r = rig({ operator: { stick: false } });
  r.pass(20_000);
  assert.equal(r.did(Deed.STICK).length, 0);
  assert.ok(r.did(Deed.ACK).length > 1);
});
