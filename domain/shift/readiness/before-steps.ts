import { type Proof, type ReadyStep, toStep, type WrittenStep } from './step.ts';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;

/** psi gauge: what a vessel at rest may still show (judgement, no source). */
const AT_REST = 1;

const NO_POT_PRESSURE: Proof = { kind: 'band', says: 'no pressure in the pot', point: 'pot-pressure', low: null, high: AT_REST, stays: false };
const AIR_TO_THE_HOOD: Proof = { kind: 'band', says: 'breathing pressure within the respirator’s table', point: 'breathing-air-pressure', low: 'respirator-low', high: 'respirator-high', stays: false };

const WRITTEN: readonly WrittenStep[] = [
  {
    id: 'ground',
    title: 'Permits, people, ground',
    todo: [
      'Permits at hand and read out. Stop signal and way out known to everyone.',
      'Area closed off; nobody inside who is not needed.',
      'Compressor and every exhaust upwind and clear of the breathing intake. Note today’s bearing to it.',
    ],
    seen: 'Permits, signals, closed-off area and the place of the compressor',
    proofs: [{ kind: 'off', says: 'intake not downwind of the work', point: 'intake-in-plume', stays: true }],
    ifNot: 'Move the engine or the intake, close the area, wait for the weather. Nothing is started meanwhile.',
  },
  {
    id: 'vessel',
    title: 'Pot at rest',
    todo: [
      'Supply shut, petcock open, choke open, metering shut.',
      'Read the plate: the rating is above what the compressor can give. Relief valve sealed, hatch gasket whole.',
      'Look inside: dry, sealing valve centred. Separator fitted.',
    ],
    seen: 'Valves, plate, relief valve, hatch, and a dry pot',
    proofs: [NO_POT_PRESSURE],
    ifNot: 'A pot that is wet, damaged or without its plate stays out of use until a competent person has seen it.',
  },
  {
    id: 'hoses',
    title: 'Hoses, control line, nozzle',
    todo: [
      'Blast hose and control line of equal length, tied together every 4 to 6 ft, no tight bend.',
      'A whole gasket in each coupling; both lock pins, 180° apart, through the mating coupling; a cable over each joint; bonding on.',
      'Gauge the nozzle, look at its liner, fit it with its washer.',
    ],
    seen: 'Every coupling, pin, cable and gasket, and the gauged nozzle',
    ifNot: 'Change the part. No coupling goes under pressure without both pins.',
    again: ['hose-changed'],
  },
  {
    id: 'panel',
    title: 'Breathing panel',
    todo: [
      'Filter element in date, breathing hose of the approved kind, regulator backed off.',
      'CO monitor warm, zeroed and bumped. Its alarm is noticed where the blaster will stand.',
    ],
    seen: 'Element date, hose, regulator, and the monitor’s alarm',
    proofs: [{ kind: 'entry', says: 'bump test done within 24 h', entry: 'bump-done', withinMs: 24 * HOUR, thisRound: false }],
    ifNot: 'Nobody goes under a hood on a panel whose monitor was not proved today.',
  },
  {
    id: 'compressor',
    title: 'Compressor',
    todo: [
      'Start it with its outlet valve shut, let it warm up, drain it.',
      'Watch one unload cycle: it may run 10 to 15 psi over its set point, and that too must stay within the vessel’s rating.',
      'After a move: look at exhaust, intake and bearing again.',
    ],
    seen: 'A warm, drained compressor through one unload cycle',
    proofs: [{ kind: 'unload', says: 'one unload cycle within the vessel’s rating' }],
    ifNot: 'Turn it down, or have it set by who may; the valve stays shut.',
    again: ['compressor-restart', 'moved'],
    after: ['ground'],
  },
  {
    id: 'pressure',
    title: 'Pressure on, slowly',
    todo: [
      'Open the supply a little at a time and listen along the line.',
      'Hold test of the supply side: petcock open; breathing branch, sample line and drains shut.',
      'Drain the separator.',
    ],
    seen: 'A line that is quiet from end to end, and a drained separator',
    proofs: [
      { kind: 'band', says: 'supply above 50 psi and not above the vessel’s rating', point: 'supply-pressure', low: 50, high: 'vessel-rating', stays: true },
      { kind: 'hold', says: 'the supply side holds' },
    ],
    ifNot: 'Shut the supply and let the line down to 0 before a coupling is touched. Mend the leak, then hold again.',
    again: ['compressor-restart', 'moved'],
    after: ['vessel', 'hoses', 'compressor'],
  },
  {
    id: 'air',
    title: 'Air to breathe',
    todo: [
      'Blotter in the stream for a minute or more: dry and clean.',
      'Let the panel run for about ten minutes and watch the CO.',
      'Set the breathing pressure with the hood flowing.',
    ],
    seen: 'A clean blotter and the hood’s own flow indicator',
    proofs: [
      { kind: 'entry', says: 'blotter taken within 5 h', entry: 'blotter', withinMs: 5 * HOUR, thisRound: true },
      { kind: 'steady', says: 'CO steady within 2 ppm for 10 min', point: 'breathing-air-co', within: 2, below: 'co-limit', forMs: 10 * MINUTE },
      { kind: 'band', says: 'CO below its limit', point: 'breathing-air-co', low: null, high: 'co-limit', stays: true },
      AIR_TO_THE_HOOD,
    ],
    ifNot: 'Nobody goes under the hood. Look at engines near the intake, at the filter, at the separator.',
    again: ['compressor-restart', 'moved'],
    after: ['panel', 'pressure'],
    expiresMs: 5 * HOUR,
  },
  {
    id: 'climate',
    title: 'Climate and steel',
    todo: ['Read dry and wet bulb, or the meter.', 'Find the coldest steel and put the probe there. Say where it is.'],
    seen: 'The coldest place, and that the steel is dry',
    proofs: [
      { kind: 'band', says: 'steel 3 °C or more above the dew point', point: 'steel-margin', low: 3, high: null, stays: false, advisory: true },
      { kind: 'band', says: 'humidity not above 85 %', point: 'ambient-humidity', low: null, high: 85, stays: false, advisory: true },
    ],
    ifNot: 'Hold the final blast and the primer. Whether a rough blast goes on is the supervisor’s to say.',
    expiresMs: 4 * HOUR,
  },
  {
    id: 'abrasive',
    title: 'Abrasive',
    todo: ['Dry and screened, of the lot in the plan.', 'Fill to below the sealing valve. The petcock is still open.'],
    seen: 'Dry, screened abrasive, and the lot',
    proofs: [NO_POT_PRESSURE],
    ifNot: 'Wet or dirty abrasive goes back. It clogs the choke when the pot is full and under pressure.',
    after: ['vessel'],
  },
  {
    id: 'dress',
    title: 'Under the hood',
    todo: [
      'Dress. The blaster confirms that air flows, and is logged under the hood by name.',
      'Tender at the post, signals tried both ways, area clear.',
    ],
    seen: 'The blaster’s own word that air flows, signals tried, tender posted',
    proofs: [{ kind: 'hood', says: 'somebody is logged under the hood', some: true, stays: true }, AIR_TO_THE_HOOD],
    ifNot: 'Hood off in clean air. Find out why before anybody dresses again.',
    again: ['new-blaster'],
    after: ['air'],
  },
  {
    id: 'handle',
    title: 'The handle stops it',
    todo: [
      'Handle let go. Close the petcock; hear the control line bleed.',
      'Metering shut: press and release twice, on air alone. Time how long the nozzle takes to stop.',
    ],
    seen: 'That letting go stops the nozzle, twice',
    proofs: [{ kind: 'tries', says: 'pressed and released twice, stopped within 5 s', count: 2, stopWithinS: 5 }],
    ifNot: 'The rig is out of use. Supply shut, pot let down; look for ice, a leak, a line too long.',
    again: ['break', 'cold', 'hose-changed'],
    after: ['hoses', 'pressure', 'dress'],
  },
  {
    id: 'metering',
    title: 'Metering',
    todo: [
      'From one and a half turns, or that valve’s own start, with the nozzle held and aimed.',
      'A quarter turn at most each time, then 10 to 15 s to settle.',
      'Needle reading behind the nozzle, with abrasive flowing.',
    ],
    seen: 'An even stream, and the needle',
    proofs: [{ kind: 'entry', says: 'needle reading taken within 4 h', entry: 'needle', withinMs: 4 * HOUR, thisRound: true }],
    ifNot: 'Let go of the handle. A stream that pulses is too rich or blocked: see the list for unblocking.',
    again: ['hose-changed'],
    after: ['abrasive', 'handle'],
    expiresMs: 4 * HOUR,
  },
];

/** The order before blasting; the site's own steps stand among them (`stepsOf`). */
export const BEFORE_STEPS: readonly ReadyStep[] = WRITTEN.map((step) => toStep('before', step));
