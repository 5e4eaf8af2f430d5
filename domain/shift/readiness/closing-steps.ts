import { type Proof, type ReadyStep, toStep, type WrittenStep } from './step.ts';

/** psi gauge at which a gauge counts as at 0 (judgement, no source). */
const ZERO = 1;

const zero = (point: string, says: string): Proof => ({ kind: 'band', says, point, low: null, high: ZERO, stays: false });
const EVERY_GAUGE_AT_ZERO: readonly Proof[] = [
  zero('supply-pressure', 'supply at 0'),
  zero('pot-pressure', 'pot at 0'),
  zero('nozzle-pressure', 'nozzle at 0'),
];

const SHUTDOWN: readonly WrittenStep[] = [
  {
    id: 'end-blast',
    title: 'End of blasting',
    todo: ['Metering shut; blow the hose clear on air alone.', 'Let go of the handle, hang the nozzle up, petcock open.'],
    seen: 'A clear hose and a handle that is let go',
    ifNot: 'The rig’s own emergency stop, and nobody in the nozzle’s line.',
  },
  {
    id: 'end-hood',
    title: 'Out from under the hood',
    todo: ['Walk to clean air with the hood on, take it off there.', 'Log the blaster out by name.'],
    seen: 'The blaster in clean air',
    proofs: [{ kind: 'hood', says: 'nobody is logged under the hood', some: false, stays: false }],
    ifNot: 'Breathing air stays on for as long as one hood is in use.',
    after: ['end-blast'],
  },
  {
    id: 'end-supply',
    title: 'Compressor off',
    todo: ['Shut its outlet valve, let it cool down without load, stop it.', 'Only now, with nobody under a hood.'],
    seen: 'The shut valve and a stopped compressor',
    ifNot: 'A compressor that will not stop is stopped by its own emergency stop; the valve stays shut.',
    after: ['end-hood'],
    causes: 'compressor-restart',
  },
  {
    id: 'end-vent',
    title: 'Everything down to 0',
    todo: ['Petcock, drains and choke open.', 'Read every gauge, the needle too: all at 0.'],
    seen: 'Each gauge at 0',
    proofs: EVERY_GAUGE_AT_ZERO,
    ifNot: 'A gauge that stays up is believed. Find what holds the pressure; nothing is uncoupled.',
    after: ['end-supply'],
  },
  {
    id: 'end-uncouple',
    title: 'Uncouple and put away',
    todo: ['Uncouple now, and not before. Cap the ends, coil the hoses.', 'Drain separator and filters. Empty the pot or keep it dry.'],
    seen: 'Capped hoses, drained vessels, a dry pot',
    ifNot: 'A coupling that hisses is closed again: back to the step before.',
    after: ['end-vent'],
    causes: 'hose-changed',
  },
];

const UNBLOCKING: readonly WrittenStep[] = [
  {
    id: 'clear-stop',
    title: 'Stop',
    todo: ['Let go of the handle. The nozzle points where nobody is, and stays so.', 'The blaster keeps the hood on until well away from the dust.'],
    seen: 'A handle that is let go, and nobody in front of the nozzle',
    ifNot: 'Supply shut at once.',
  },
  {
    id: 'clear-air',
    title: 'Try with air alone',
    todo: ['Metering shut, choke open.', 'Two short presses of the handle. If the hose clears, go back to metering.'],
    seen: 'What came out, and what not',
    ifNot: 'No third try: a plug that holds is now between you and a hose under pressure.',
    after: ['clear-stop'],
  },
  {
    id: 'clear-vent',
    title: 'Down to 0',
    todo: ['Supply shut, petcock open, wait.', 'Behind a plug the hose can stay under pressure when the gauges are at 0: treat it so.'],
    seen: 'Each gauge at 0, and the hose soft along its length',
    proofs: EVERY_GAUGE_AT_ZERO,
    ifNot: 'Nothing is opened. Wait, or slack the coupling at the pot a little with everyone clear.',
    after: ['clear-air'],
  },
  {
    id: 'clear-open',
    title: 'Find it and take it out',
    todo: ['Nozzle off first, pointing away. Then the hose at the pot.', 'Look with a light, clear by hand or rod; never blow a hose free that is open at the other end.'],
    seen: 'What the plug was, and a clear bore',
    ifNot: 'A hose that will not clear is changed.',
    after: ['clear-vent'],
  },
  {
    id: 'clear-couple',
    title: 'Together again',
    todo: ['Gaskets, washers, both pins, cables, as at the start.', 'Screen the abrasive if the plug came out of the pot.'],
    seen: 'Every coupling as in the list before blasting',
    ifNot: 'Change the part.',
    after: ['clear-open'],
    causes: 'hose-changed',
  },
];

export const CLOSING_STEPS: readonly ReadyStep[] = [...SHUTDOWN.map((step) => toStep('shutdown', step)), ...UNBLOCKING.map((step) => toStep('unblocking', step))];
