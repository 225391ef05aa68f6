import { appendFileSync } from 'node:fs';

/** Returns what writes one line a saw cycle to a file, whole before it returns; '' writes nothing. */
export function truthFile(file) {
  if (file === '') {
    return () => {};
  }
  return (count, position) =>
    appendFileSync(file, `${count},${position},${new Date().toISOString()}\n`);
}
