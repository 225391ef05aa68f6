const OPERATION_ENABLED = 0x0037;
const FAULT = 0x0018;
const REMOTE = 1 << 9;
const TARGET_REACHED = 1 << 10;
// One of the two bits that are left to the maker.
const REFERENCED = 1 << 14;

/** Returns an axis's status word, in the bits of IEC 61800-7-201. */
export function statusWord(machine) {
  return (
    (machine.enabled ? OPERATION_ENABLED : FAULT) |
    REMOTE |
    (machine.reached ? TARGET_REACHED : 0) |
    (machine.referenced ? REFERENCED : 0)
  );
}
