#!/usr/bin/env node
// An OPC UA device that nobody here wrote the stack of; feeder.md and pusher.md say what it offers.
import './lib/quiet.js';
import { bench } from './lib/bench.js';
import { place } from './lib/companion.js';
import { feeder } from './lib/feeder.js';
import { serve } from './lib/opcua-server.js';
import { readOptions, UsageError, whole } from './lib/options.js';
import { runDevice } from './lib/process.js';
import { pusher } from './lib/pusher.js';

const PROFILES = { strobe: feeder, plcopen: pusher };

await runDevice(() => {
  const given = readOptions(process.argv.slice(2), {
    profile: { type: 'string', default: 'strobe' },
    port: { type: 'string', default: '0' },
    security: { type: 'boolean', default: false },
    certificate: { type: 'string', default: '' },
    key: { type: 'string', default: '' },
    trust: { type: 'string', default: '' },
    companion: { type: 'boolean', default: false },
  });
  const profile = PROFILES[given.profile];
  if (profile === undefined) {
    throw new UsageError(`--profile: ${given.profile}, expected strobe or plcopen`);
  }
  const options = { ...given, port: whole('port', given.port, 0, 65_535) };
  const { machine, panel, step } = bench(profile, options);
  let show = () => {};
  return {
    seconds: options.seconds,
    scanMs: profile.scanMs,
    start: () => serve(options, profile.uri, (space) => (show = profile.build(space, place(options, space)))),
    scan: (now) => {
      step(now);
      show(now, machine, panel);
    },
  };
});
