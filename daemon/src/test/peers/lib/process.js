import { UsageError } from './options.js';

const END_MS = 5000;

/**
 * Runs one device until it is asked to end, its standard input closes or its time is over.
 *
 * @param open reads the command line and returns {seconds, scanMs, start, scan}; start() returns
 *     what the line on standard output says beside "ready", and close(); scan(now) is called for
 *     as long as it runs, from then on
 */
export async function runDevice(open) {
  const begun = performance.now();
  let served = null;
  let timer = null;
  let ending = false;
  const end = () => {
    if (ending) {
      return;
    }
    ending = true;
    clearInterval(timer);
    // A stack that does not let go must not keep the process.
    setTimeout(() => process.exit(1), END_MS);
    Promise.resolve(served?.close()).then(
      () => process.exit(0),
      () => process.exit(1)
    );
  };
  try {
    const device = open();
    process.on('SIGTERM', end);
    process.on('SIGINT', end);
    process.stdin.on('end', end);
    process.stdin.on('error', end);
    process.stdin.resume();
    setTimeout(end, device.seconds * 1000);

    served = await device.start();
    if (ending) {
      return;
    }
    timer = setInterval(() => device.scan(performance.now()), device.scanMs);
    const ready = { ready: true, ...served.says, startMs: Math.round(performance.now() - begun) };
    process.stdout.write(`${JSON.stringify(ready)}\n`);
  } catch (e) {
    process.stderr.write(`${e instanceof UsageError ? e.message : e.stack}\n`);
    process.exit(e instanceof UsageError ? 2 : 1);
  }
}
