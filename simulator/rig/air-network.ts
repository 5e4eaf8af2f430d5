import { GAS_CONSTANT } from './air.ts';

/** Mass flow between two pressures and how it changes with each; filled anew at every step, kg/s and kg/(s·Pa). */
export interface Flow {
  kgPerS: number;
  perUpstream: number;
  perDownstream: number;
}

export function createFlow(): Flow {
  return { kgPerS: 0, perUpstream: 0, perDownstream: 0 };
}

/** A volume of air. Its pressure follows from its mass: air is moved, never made. */
export interface AirNode {
  /** Index of the node it is fed from; -1 for the root. Parents come before their children. */
  readonly parent: number;
  /** Flow from the parent into this node. */
  readonly inlet: Flow;
  /** Flows from this node to the atmosphere. */
  readonly outlets: readonly Flow[];
  /** Air delivered into this node from outside, kg/s. */
  supplyKgPerS: number;
  massKg: number;
  /** m³ */
  volume: number;
  /** K */
  temperature: number;
  /** Pa, absolute */
  pressure: number;
}

export function createNode(parent: number, outlets: readonly Flow[], volume: number, temperature: number, pressure: number): AirNode {
  const massKg = (pressure * volume) / (GAS_CONSTANT * temperature);
  return { parent, inlet: createFlow(), outlets, supplyKgPerS: 0, massKg, volume, temperature, pressure };
}

/** Brings a node's pressure up to date with its mass, volume and temperature. */
export function settlePressure(node: AirNode): void {
  node.pressure = (node.massKg * GAS_CONSTANT * node.temperature) / node.volume;
}

const diagonal: number[] = [];
const imbalance: number[] = [];
const rise: number[] = [];

/**
 * Moves air for `dt` seconds through a tree of volumes whose flows have just been evaluated.
 *
 * One backward-Euler step on the linearised flows: hoses fill in hundredths of a second, so an explicit step would have
 * to be a hundred times shorter. What leaves one node enters the next to the last bit, whatever the linearisation error.
 * Afterwards each flow's `kgPerS` is what really passed.
 */
export function stepAirNetwork(nodes: readonly AirNode[], dt: number): void {
  const count = nodes.length;
  for (let i = 0; i < count; i += 1) {
    const node = nodes[i] as AirNode;
    let d = node.volume / (GAS_CONSTANT * node.temperature * dt);
    let r = node.supplyKgPerS;
    if (node.parent >= 0) {
      d -= node.inlet.perDownstream;
      r += node.inlet.kgPerS;
    }
    for (const outlet of node.outlets) {
      d += outlet.perUpstream;
      r -= outlet.kgPerS;
    }
    diagonal[i] = d;
    imbalance[i] = r;
  }
  for (let i = count - 1; i > 0; i -= 1) {
    const { parent, inlet } = nodes[i] as AirNode;
    const d = diagonal[i] as number;
    diagonal[parent] = (diagonal[parent] as number) + inlet.perUpstream + (inlet.perDownstream * inlet.perUpstream) / d;
    imbalance[parent] = (imbalance[parent] as number) - inlet.kgPerS - (inlet.perDownstream * (imbalance[i] as number)) / d;
  }
  for (let i = 0; i < count; i += 1) {
    const node = nodes[i] as AirNode;
    const fed = node.parent < 0 ? 0 : node.inlet.perUpstream * (rise[node.parent] as number);
    rise[i] = ((imbalance[i] as number) + fed) / (diagonal[i] as number);
  }
  for (let i = 0; i < count; i += 1) moveAir(nodes, i, dt);
  for (const node of nodes) settlePressure(node);
}

function moveAir(nodes: readonly AirNode[], i: number, dt: number): void {
  const node = nodes[i] as AirNode;
  const ownRise = rise[i] as number;
  node.massKg += node.supplyKgPerS * dt;
  for (const outlet of node.outlets) {
    outlet.kgPerS += outlet.perUpstream * ownRise;
    node.massKg -= outlet.kgPerS * dt;
  }
  const parent = nodes[node.parent];
  if (!parent) return;
  node.inlet.kgPerS += node.inlet.perUpstream * (rise[node.parent] as number) + node.inlet.perDownstream * ownRise;
  node.massKg += node.inlet.kgPerS * dt;
  parent.massKg -= node.inlet.kgPerS * dt;
}
