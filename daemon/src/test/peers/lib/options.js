import { readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';

/** What was given on the command line cannot be used. */
export class UsageError extends Error {}

const COMMON = {
  speed: { type: 'string', default: '1' },
  truth: { type: 'string', default: '' },
  cuts: { type: 'string', default: '10000' },
  seconds: { type: 'string', default: '600' },
  stray: { type: 'string', default: '0' },
  'fault-after': { type: 'string', default: '0' },
  operator: { type: 'string', default: 'on' },
  user: { type: 'string', default: '' },
  'password-file': { type: 'string', default: '' },
};

/** Reads the options all devices have, and those of one. */
export function readOptions(args, own) {
  let given;
  try {
    given = parseArgs({ args, options: { ...COMMON, ...own }, strict: true }).values;
  } catch (e) {
    throw new UsageError(e.message);
  }
  if (!['on', 'off'].includes(given.operator)) {
    throw new UsageError(`--operator: ${given.operator}, expected on or off`);
  }
  return {
    ...given,
    speed: number('speed', given.speed, 0.1, 1000),
    cuts: whole('cuts', given.cuts, 0, 1_000_000),
    seconds: whole('seconds', given.seconds, 1, 86_400),
    stray: whole('stray', given.stray, 0, 1000),
    faultAfter: whole('fault-after', given['fault-after'], 0, 1_000_000),
    operator: given.operator === 'on',
    password: given['password-file'] === '' ? '' : firstLine(given['password-file']),
  };
}

export function whole(name, text, min, max) {
  const value = number(name, text, min, max);
  if (!Number.isInteger(value)) {
    throw new UsageError(`--${name}: ${text} is no whole number`);
  }
  return value;
}

function number(name, text, min, max) {
  const value = /^\d{1,9}(\.\d{1,6})?$/.test(text) ? Number(text) : NaN;
  if (!(value >= min && value <= max)) {
    throw new UsageError(`--${name}: ${text}, expected ${min} to ${max}`);
  }
  return value;
}

function firstLine(file) {
  try {
    return readFileSync(file, 'utf8').split(/\r?\n/, 1)[0];
  } catch (e) {
    throw new UsageError(`--password-file: ${e.message}`);
  }
}
