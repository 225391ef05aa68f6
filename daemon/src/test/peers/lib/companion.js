import { nodesets } from 'node-opcua-nodesets';

const MACHINERY = 'http://opcfoundation.org/UA/Machinery/';
const MACHINES = 1001;

/** OPC 40001-1 (Machinery), ISA-95 Job Control, and what these build on. */
export const COMPANIONS = [
  nodesets.standard,
  nodesets.di,
  nodesets.ia,
  nodesets.machinery,
  nodesets.isa95JobControl,
];

/**
 * Returns where a device's nodes go: below Objects, or with companion specifications below the
 * folder Machines, where OPC 40001-1 wants every machine of a server.
 */
export function place(options, addressSpace) {
  if (!options.companion) {
    return addressSpace.rootFolder.objects;
  }
  const index = addressSpace.getNamespaceIndex(MACHINERY);
  const machines = addressSpace.findNode(`ns=${index};i=${MACHINES}`);
  if (machines === null) {
    throw new Error('the Machinery node set has no folder Machines');
  }
  return machines;
}
