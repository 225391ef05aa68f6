import { makeEUInformation } from 'node-opcua-data-access';
import { DataType, Variant } from 'node-opcua-variant';

/** Makes the variables of one namespace, and reads and sets them by names of the device's own. */
export class Nodes {
  #namespace;
  #nodes = new Map();

  constructor(namespace) {
    this.#namespace = namespace;
  }

  /** Adds a folder below a parent: a part of it, or beside others where that is a folder too. */
  folder(browseName, parent, nodeId) {
    const isOwn = parent.nodeId.namespace === this.#namespace.index;
    return this.#namespace.addObject({
      browseName,
      nodeId,
      ...(isOwn ? { componentOf: parent } : { organizedBy: parent }),
    });
  }

  /** Adds a variable; a client may write it where it is an input. */
  variable(name, { parent, browseName, nodeId, type, input = false, unit = null, range = null }) {
    const access = input ? 'CurrentRead | CurrentWrite' : 'CurrentRead';
    const options = {
      browseName,
      nodeId,
      componentOf: parent,
      dataType: DataType[type],
      accessLevel: access,
      userAccessLevel: access,
      value: { dataType: DataType[type], value: type === 'Boolean' ? false : 0 },
    };
    const node =
      unit === null
        ? this.#namespace.addVariable(options)
        : this.#namespace.addAnalogDataItem({
            ...options,
            engineeringUnits: unit,
            engineeringUnitsRange: range,
            // The machine refuses what it cannot reach itself, with a code.
            acceptValueOutOfRange: true,
          });
    this.#nodes.set(name, { node, type: DataType[type] });
  }

  /** Returns what a variable holds now, be it a client's or the device's. */
  get(name) {
    return this.#nodes.get(name).node.readValue().value.value;
  }

  /** Sets an output, where it changes. */
  set(name, value) {
    const { node, type } = this.#nodes.get(name);
    if (node.readValue().value.value !== value) {
      node.setValueFromSource(new Variant({ dataType: type, value }));
    }
  }
}

/** Common code INH of UNECE recommendation 20. */
export const INCH = makeEUInformation('INH', 'in', 'inch');
