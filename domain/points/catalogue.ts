import type { Dimension } from '../quantity/unit.ts';

/**
 * What is bound to move a living sensor, so that one which says the same to the last digit over it is frozen. `blasting`: a start and a
 * stop of it. `handle`: the same of the handle, where the value is a nozzle's under pressure. `bump-gas`: a bump test that is said to be passed. `warming`: a quarter of an hour of a compressor at work. Where nothing is
 * bound to (quiet air, a regulator that holds, weather), a value that stays proves nothing and nobody is told.
 */
export const MOVERS = ['blasting', 'handle', 'bump-gas', 'warming'] as const;
export type Mover = (typeof MOVERS)[number];

/** Who a point belongs to; a rig also shows the points of its compressor and its site. */
export type OwnerKind = 'rig' | 'compressor' | 'site';

/**
 * What Potside can measure or compute, as data. Values are held in `unit` on the grid of `resolution`, so that what is
 * evaluated, shown and sealed is one and the same number; physics converts to SI at its door (decision 0003).
 */
export interface PointKind {
  readonly id: string;
  readonly label: string;
  readonly owner: OwnerKind;
  readonly origin: 'measured' | 'computed';
  readonly dimension: Dimension;
  /** UCUM code of the default unit. Pressures are gauge unless `reference` says otherwise. */
  readonly unit: string;
  readonly reference?: 'absolute' | 'difference';
  /** Smallest step kept, in `unit`. */
  readonly resolution: number;
  /** Expected time between readings, ms; a site sets its own. */
  readonly everyMs: number;
  /** Silence after which the point is stale, ms, unless its interval is so long that three of them are longer. */
  readonly staleAfterMs: number;
  /** Outside this the value can't be true, in `unit`. Beyond `dangerous` it still counts as the danger it shows. */
  readonly plausible: readonly [low: number, high: number];
  readonly dangerous?: 'high' | 'low' | 'both';
  readonly movedBy?: Mover;
  /** On or off rather than a quantity. */
  readonly state?: readonly [off: string, on: string];
}

/** Default silence before a point is stale: radio makes three seconds hopeless (common practice, no source). */
const STALE_MS = 60_000;
/** Breathing air gets seconds. */
const STALE_BREATHING_MS = 10_000;

type Rest = Partial<Omit<PointKind, 'id' | 'label' | 'owner' | 'origin'>>;

function measured(owner: OwnerKind, id: string, label: string, base: Base, rest: Rest = {}): PointKind {
  return { id, label, owner, origin: 'measured', everyMs: 1000, staleAfterMs: STALE_MS, ...base, ...rest };
}

function computed(owner: OwnerKind, id: string, label: string, base: Base, rest: Rest = {}): PointKind {
  return { id, label, owner, origin: 'computed', everyMs: 1000, staleAfterMs: STALE_MS, ...base, ...rest };
}

type Base = Pick<PointKind, 'dimension' | 'unit' | 'resolution' | 'plausible'>;
const PRESSURE: Base = { dimension: 'pressure', unit: '[psi]', resolution: 0.1, plausible: [-15, 300] };
const LOSS: Base = { dimension: 'pressure', unit: '[psi]', resolution: 0.1, plausible: [-300, 300] };
const TEMPERATURE: Base = { dimension: 'temperature', unit: 'Cel', resolution: 0.1, plausible: [-60, 200] };
const MARGIN: Base = { dimension: 'temperature-difference', unit: 'Cel', resolution: 0.1, plausible: [-100, 100] };
const SHARE: Base = { dimension: 'fraction', unit: '%', resolution: 0.1, plausible: [0, 100] };
const FLOW: Base = { dimension: 'volume-flow', unit: '[cft_i]/min', resolution: 1, plausible: [-50, 5000] };
const SECONDS: Base = { dimension: 'time', unit: 's', resolution: 0.1, plausible: [0, 1_000_000] };
const CO: Base = { dimension: 'fraction', unit: '[ppm]', resolution: 0.1, plausible: [-5, 2000] };
const STATE: Base = { dimension: 'count', unit: '{count}', resolution: 1, plausible: [0, 1] };

export const POINT_KINDS: readonly PointKind[] = [
  measured('rig', 'supply-pressure', 'Supply pressure', PRESSURE, { dangerous: 'both', movedBy: 'blasting' }),
  measured('rig', 'nozzle-pressure', 'Nozzle pressure', PRESSURE, { dangerous: 'low', movedBy: 'handle' }),
  measured('rig', 'pot-pressure', 'Pot pressure', PRESSURE, { dangerous: 'high', movedBy: 'blasting' }),
  measured('rig', 'separator-pressure', 'Pressure after the separator', PRESSURE, { movedBy: 'blasting' }),
  measured('rig', 'breathing-air-co', 'Carbon monoxide, breathing air', CO, { dangerous: 'high', movedBy: 'bump-gas', staleAfterMs: STALE_BREATHING_MS }),
  measured('rig', 'breathing-air-pressure', 'Breathing air pressure', PRESSURE, { dangerous: 'both', staleAfterMs: STALE_BREATHING_MS }),
  measured('rig', 'breathing-air-temperature', 'Breathing air temperature', TEMPERATURE, { everyMs: 10_000 }),
  measured('rig', 'breathing-air-oxygen', 'Oxygen, breathing air', { dimension: 'fraction', unit: '%', resolution: 0.1, plausible: [0, 30] }, { dangerous: 'both', staleAfterMs: STALE_BREATHING_MS }),
  measured('rig', 'reserve-air-pressure', 'Reserve air, bottles', { ...PRESSURE, resolution: 1, plausible: [-15, 6000] }, { dangerous: 'low', everyMs: 10_000 }),
  measured('rig', 'air-line-dew-point', 'Line air, pressure dew point', TEMPERATURE, { everyMs: 10_000 }),
  measured('rig', 'separator-temperature', 'Air after the separator', TEMPERATURE, { everyMs: 10_000 }),
  measured('rig', 'steel-temperature', 'Steel temperature', TEMPERATURE, { everyMs: 10_000 }),
  measured('rig', 'containment-suction', 'Containment below the outside', { dimension: 'pressure', unit: 'Pa', resolution: 1, plausible: [-500, 500] }, { reference: 'difference', everyMs: 10_000 }),
  measured('rig', 'remote-control', 'Control handle', STATE, { state: ['released', 'held'] }),
  measured('compressor', 'compressor-pressure', 'Compressor outlet', PRESSURE),
  measured('compressor', 'compressor-temperature', 'Compressor temperature', TEMPERATURE, { everyMs: 10_000, movedBy: 'warming' }),
  measured('compressor', 'air-flow', 'Air flow', FLOW, { everyMs: 5000, movedBy: 'blasting' }),
  measured('site', 'ambient-temperature', 'Air temperature', TEMPERATURE, { everyMs: 10_000 }),
  measured('site', 'ambient-humidity', 'Humidity', { dimension: 'fraction', unit: '%', resolution: 0.1, plausible: [0, 100] }, { everyMs: 10_000 }),
  measured('site', 'barometric-pressure', 'Barometer', { dimension: 'pressure', unit: 'hPa', resolution: 0.1, plausible: [500, 1100] }, { reference: 'absolute', everyMs: 10_000 }),
  measured('site', 'wind-direction', 'Wind from', { dimension: 'angle', unit: 'deg', resolution: 1, plausible: [0, 360] }, { everyMs: 10_000 }),
  measured('site', 'on-battery', 'Power', STATE, { state: ['mains', 'battery'], everyMs: 10_000 }),
  measured('site', 'wind-speed', 'Wind speed', { dimension: 'speed', unit: 'm/s', resolution: 0.1, plausible: [0, 90] }, { everyMs: 10_000 }),

  computed('site', 'ambient-dew-point', 'Dew point of the air', TEMPERATURE),
  computed('site', 'ambient-wet-bulb', 'Wet bulb of the air', TEMPERATURE),
  computed('rig', 'steel-margin', 'Steel above dew point', MARGIN),
  computed('rig', 'surface-humidity', 'Humidity at the steel', SHARE),
  computed('rig', 'steel-time-left', 'Time until the steel is 3 °C above dew point', { dimension: 'time', unit: 'min', resolution: 1, plausible: [0, 100_000] }),
  computed('compressor', 'intake-in-plume', 'Intake downwind of the blasting', STATE, { state: ['no', 'yes'] }),
  computed('rig', 'line-atmospheric-dew-point', 'Line air, dew point at one atmosphere', TEMPERATURE),
  computed('rig', 'breathing-air-dryness', 'Dew point at one atmosphere below air temperature', MARGIN),
  computed('rig', 'hose-condensation-margin', 'Hose above pressure dew point', MARGIN),
  computed('rig', 'blasting', 'Blasting', STATE, { state: ['no', 'yes'] }),
  computed('rig', 'supply-loss', 'Loss, compressor to blast machine', LOSS, { reference: 'difference' }),
  computed('rig', 'line-loss', 'Loss, blast machine to nozzle', LOSS, { reference: 'difference' }),
  computed('rig', 'expected-nozzle-pressure', 'Nozzle pressure expected', PRESSURE),
  computed('rig', 'line-loss-residual', 'Loss beyond what is expected', LOSS, { reference: 'difference' }),
  computed('rig', 'nozzle-air-flow', 'Air through the nozzle', FLOW),
  computed('rig', 'production-factor', 'Work rate against 100 psi, rule of thumb', SHARE),
  computed('compressor', 'compressor-load', 'Compressor load', { ...SHARE, plausible: [0, 1000] }),
  computed('rig', 'trigger-cycles', 'Releases of the handle', { dimension: 'count', unit: '{count}', resolution: 1, plausible: [0, 1_000_000] }),
  computed('rig', 'handle-held', 'Handle held for', SECONDS),
  computed('rig', 'nozzle-stop', 'Nozzle stop, last release', SECONDS),
  computed('rig', 'pot-blow-down', 'Pot blow-down, last release', SECONDS),
  computed('rig', 'co-average-15min', 'Carbon monoxide, 15-minute average', CO),
  computed('rig', 'co-rise', 'Carbon monoxide, rise in two minutes', { ...CO, plausible: [-2000, 2000] }),
];

const BY_ID: ReadonlyMap<string, PointKind> = new Map(POINT_KINDS.map((kind) => [kind.id, kind]));

/** The catalogue's entry for a point id, or undefined where Potside knows no such point. */
export function findPointKind(id: string): PointKind | undefined {
  return BY_ID.get(id);
}

/** As `findPointKind`, for ids that the code itself names. @throws RangeError for an unknown id. */
export function needPointKind(id: string): PointKind {
  const kind = BY_ID.get(id);
  if (!kind) throw new RangeError(`no point ${JSON.stringify(id)} in the catalogue`);
  return kind;
}
