#!/usr/bin/env node
// An MQTT 5 device on a stack that nobody here wrote; line2.md says what it offers.
import './lib/quiet.js';
import mqtt from 'mqtt';
import { bench } from './lib/bench.js';
import { Line2, line2, TOPICS } from './lib/line2.js';
import { powerUp } from './lib/memory.js';
import { readOptions, UsageError } from './lib/options.js';
import { runDevice } from './lib/process.js';

const BROKER = /^mqtt:\/\/127\.0\.0\.1:\d{1,5}$/;
const CONNECT_MS = 10_000;
const RECONNECT_MS = 250;
const KEEP_ALIVE_S = 5;

await runDevice(() => {
  const options = readOptions(process.argv.slice(2), {
    broker: { type: 'string', default: '' },
    memory: { type: 'string', default: '' },
  });
  if (!BROKER.test(options.broker)) {
    throw new UsageError(`--broker: ${options.broker}, expected mqtt://127.0.0.1:PORT`);
  }
  const { machine, panel, step } = bench(line2, options);
  let client = null;
  const device = new Line2(powerUp(options.memory), (topic, payload, how) =>
    client.connected ? client.publish(topic, payload, how) : null
  );
  return {
    seconds: options.seconds,
    scanMs: line2.scanMs,
    start: async () => {
      client = connect(options);
      client.on('message', (topic, payload, packet) =>
        device.command(payload, packet.retain, machine, performance.now())
      );
      await new Promise((resolve, reject) => {
        client.on('error', reject);
        client.on('connect', () => {
          device.forget();
          device.scan(performance.now(), machine, panel);
          client.subscribe(TOPICS.cmd, { qos: 1 }, (error) => {
            if (error) {
              reject(error);
              return;
            }
            client.publish(TOPICS.alive, '1', { qos: 1, retain: true }, () => resolve());
          });
        });
      });
      client.on('error', (e) => process.stderr.write(`${e.message}\n`));
      return { says: { broker: options.broker }, close: () => leave(client) };
    },
    scan: (now) => {
      step(now);
      device.scan(now, machine, panel);
    },
  };
});

function connect(options) {
  return mqtt.connect(options.broker, {
    protocolVersion: 5,
    clientId: `line2-${process.pid}`,
    clean: true,
    properties: { sessionExpiryInterval: 0 },
    keepalive: KEEP_ALIVE_S,
    connectTimeout: CONNECT_MS,
    reconnectPeriod: RECONNECT_MS,
    // What was not said in time is not said late.
    queueQoSZero: false,
    resubscribe: false,
    ...(options.user === '' ? {} : { username: options.user, password: options.password }),
    will: { topic: TOPICS.alive, payload: Buffer.from('0'), qos: 1, retain: true },
  });
}

async function leave(client) {
  if (client.connected) {
    await client.publishAsync(TOPICS.alive, '0', { qos: 1, retain: true });
  }
  await client.endAsync();
}
