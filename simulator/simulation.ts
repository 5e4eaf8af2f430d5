import { type DeviceForm, type DeviceMessage, createDevice, runDevice } from './devices/device.ts';
import { inForm } from './devices/payload-form.ts';
import { siteDevices } from './devices/site-devices.ts';
import { siteYaml } from './devices/site-yaml.ts';
import { type SitePlant, createSitePlant, stepSitePlant } from './rig/site-plant.ts';
import { buildSite, withPlates } from './scenarios/build-site.ts';
import { SCENARIO_SHEETS } from './scenarios/catalogue.ts';
import type { RigPlate } from './scenarios/scenario.ts';
import { type TrueFault, setScript } from './scenarios/script.ts';

export type { DeviceMessage } from './devices/device.ts';
export type { TrueFault } from './scenarios/script.ts';

/** The scenarios by name, each with what happens in it. */
export const SCENARIOS: readonly { name: string; summary: string; meantFor?: string }[] = SCENARIO_SHEETS.map(({ name, summary, meantFor }) => ({
  name,
  summary,
  ...(meantFor === undefined ? {} : { meantFor }),
}));

/** A site that lives by the clock it is told: no clock of its own, no I/O; the same seed gives the same bytes. */
export interface Simulation {
  /** site.yaml that describes exactly this site, so that a server can be configured from it. */
  readonly siteYaml: string;
  readonly siteId: string;
  /** What the script does wrong, and when: the truth to score inference against. */
  readonly faults: readonly TrueFault[];
  /** The plant as it really is at this moment; read only. */
  readonly truth: SitePlant;
  /** Moves the site on to `atMs` and returns what its devices publish on the way, in time order. */
  advanceTo(atMs: number): DeviceMessage[];
}

export interface SimulationOptions {
  readonly scenario: string;
  readonly seed: number;
  readonly rigs: number;
  readonly startAtMs: number;
  /** When somebody begins to watch: what the script times from going live counts from here. */
  readonly liveFromMs?: number;
  /** What the site is called in topics and configuration, where it is not the scenario's own name. */
  readonly siteId?: string;
  /** Plates of real rigs, in order: the scenario is played on rigs built like these. */
  readonly plates?: readonly RigPlate[];
  /** How every device writes its messages; JSON, and a bare number from the steel's radio, unless told otherwise. */
  readonly form?: DeviceForm;
}

/** Step of the pressures, ms. */
const STEP_MS = 125;
/** Scripted effects follow the clock this often. */
const SCRIPT_EVERY = 4;
/** Without a moment of going live, the script's events come once the work has settled. */
const LIVE_AFTER_MS = 20 * 60_000;

/** @throws RangeError for an unknown scenario or a number of rigs that is not 1 or more. */
export function createSimulation(options: SimulationOptions): Simulation {
  const { seed, rigs, startAtMs } = options;
  const sheet = SCENARIO_SHEETS.find(({ name }) => name === options.scenario);
  if (!sheet) throw new RangeError(`no scenario ${JSON.stringify(options.scenario)}; there are ${SCENARIO_SHEETS.map(({ name }) => name).join(', ')}`);
  if (!Number.isInteger(rigs) || rigs < 1) throw new RangeError(`rigs must be a whole number from 1, found ${rigs}`);
  const scenario = withPlates(sheet, options.plates ?? []);
  const plant = createSitePlant(buildSite(scenario, seed, rigs), seed);
  const script = setScript(scenario.script, { start: startAtMs, live: options.liveFromMs ?? startAtMs + LIVE_AFTER_MS });
  const siteId = options.siteId ?? scenario.site.id;
  const builds = siteDevices(siteId, plant).map((build) => inForm(build, options.form ?? 'json', siteId));
  const devices = builds.map((build) => createDevice(build, siteId, seed, startAtMs));
  const waiting: DeviceMessage[] = [];
  let step = 0;

  function advanceTo(atMs: number): DeviceMessage[] {
    while (startAtMs + step * STEP_MS < atMs) {
      const stepMs = startAtMs + step * STEP_MS;
      if (step % SCRIPT_EVERY === 0) script.setTo(stepMs);
      stepSitePlant(plant, script.plant, step, STEP_MS / 1000);
      step += 1;
      for (const device of devices) if (device.dueMs < stepMs + STEP_MS) runDevice(device, stepMs + STEP_MS, script, waiting);
    }
    waiting.sort((a, b) => a.atMs - b.atMs);
    const firstLater = waiting.findIndex((message) => message.atMs > atMs);
    return waiting.splice(0, firstLater < 0 ? waiting.length : firstLater);
  }

  return { siteId, siteYaml: siteYaml(scenario, siteId, rigs, builds), faults: script.faults, truth: plant, advanceTo };
}
