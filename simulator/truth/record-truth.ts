import type { AirSupply, SitePlant } from '../rig/site-plant.ts';
import type { RigLine } from '../rig/rig-line.ts';
import type { Simulation } from '../simulation.ts';

/** What was asked for, so that the same can be had again. */
export interface TruthHead {
  readonly scenario: string;
  readonly seed: number;
  readonly rigs: number;
  readonly startAtMs: number;
  readonly liveFromMs: number;
}

const SECOND_MS = 1000;
const iso = (ms: number): string => new Date(ms).toISOString();
/** Nine digits: more than any state holds, and the same text wherever it is read. */
const number = (value: number): number => Number(value.toPrecision(9));

/**
 * The same simulation, writing down what really happens as JSON Lines: one line on the run, one for each fault with its onset, then the
 * plant's state at each full second. The lines do not depend on the steps in which it is advanced.
 */
export function recordTruth(simulation: Simulation, head: TruthHead, write: (line: string) => void): Simulation {
  const { scenario, seed, rigs, startAtMs, liveFromMs } = head;
  const say = (line: object): void => write(`${JSON.stringify(line)}\n`);
  say({ kind: 'run', site: simulation.siteId, scenario, seed, rigs, startAt: iso(startAtMs), liveFrom: iso(liveFromMs) });
  for (const { cause, on, fromMs, toMs } of simulation.faults) say({ kind: 'fault', cause, on, from: iso(fromMs), to: toMs === undefined ? null : iso(toMs) });
  let nextMs = startAtMs + SECOND_MS;
  return {
    ...simulation,
    advanceTo(atMs) {
      const messages = [];
      for (; nextMs <= atMs; nextMs += SECOND_MS) {
        messages.push(...simulation.advanceTo(nextMs));
        say({ kind: 'state', at: iso(nextMs), ...describePlant(simulation.truth) });
      }
      messages.push(...simulation.advanceTo(atMs));
      return messages;
    },
  };
}

/** Pressures are absolute, Pa; temperatures °C; masses kg; carbon monoxide ppm. */
function describePlant({ weather, supplies }: SitePlant): object {
  const { temperature, dewPoint, humidity, atmosphere, windFrom, windSpeed } = weather;
  return {
    site: { temperatureC: number(temperature), dewPointC: number(dewPoint), humidityPct: number(humidity), atmospherePa: number(atmosphere), windFromDeg: number(windFrom), windMS: number(windSpeed) },
    compressors: Object.fromEntries(supplies.map((supply) => [supply.build.id, describeSupply(supply)])),
    rigs: Object.fromEntries(supplies.flatMap((supply) => supply.rigs.map((rig) => [rig.build.id, describeRig(rig)]))),
  };
}

function describeSupply({ compressor, receiver, sumpCo }: AirSupply): object {
  return { receiverPa: number(receiver.pressure), flowKgPerS: number(compressor.flowKgPerS), airEndC: number(compressor.airEnd), deliveryC: number(compressor.delivery), coPpm: number(sumpCo) };
}

function describeRig(rig: RigLine): object {
  const { inlet, vessel, nozzle, jet, leak, vent, pot, blaster, breathing, moisture, steel, bore } = rig;
  return {
    inletPa: number(inlet.pressure),
    vesselPa: number(vessel.pressure),
    nozzlePa: number(nozzle.pressure),
    jetKgPerS: number(jet.kgPerS),
    leakKgPerS: number(leak.kgPerS),
    ventKgPerS: number(vent.kgPerS),
    boreMm: number(bore * 1000),
    abrasiveKg: number(pot.abrasiveKg),
    abrasiveKgPerS: number(pot.abrasiveKgPerS),
    held: blaster.held,
    doing: blaster.phase,
    underHood: blaster.underHood,
    breathing: { coPpm: number(breathing.co), gaugePa: number(breathing.pressure), temperatureC: number(breathing.temperature) },
    lineDewPointC: number(moisture.dewPoint),
    separatorC: number(moisture.temperature),
    steelC: number(steel),
  };
}
