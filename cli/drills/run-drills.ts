import { readFileSync } from 'node:fs';
import type { BrokerConfig, RigConfig, SiteConfig } from '../../domain/shift/site-config.ts';
import type { Clock } from '../../host/clock.ts';
import type { Log } from '../../host/log.ts';
import type { DrillRunner } from '../../server/drills/drill-runner.ts';
import { publishSimulation } from '../../simulator/publish/publish-simulation.ts';
import type { RigPlate } from '../../simulator/scenarios/scenario.ts';
import { SCENARIOS, type Simulation, createSimulation } from '../../simulator/simulation.ts';

/** The plant has run this long, unseen, when the drill begins: warm, at pressure, somebody on the handle. */
const WARM_MS = 1_200_000;
/** The script's hour begins so long after the trainer's tap. */
const LEAD_MS = 20_000;

interface Played {
  readonly ended: AbortController;
  readonly done: Promise<void>;
}

/** Where the drill's made-up sensors publish: the site's own broker, as real ones would. */
export interface DrillOptions {
  readonly mqttUrl: () => string;
  readonly broker: BrokerConfig | null;
  readonly clock: () => Clock;
  readonly log: Log;
}

/** Plays scenarios of the simulator on training sites. */
export function createDrillRunner({ mqttUrl, broker, clock, log }: DrillOptions): DrillRunner {
  const played = new Map<string, Played>();
  const stop = async (site: string): Promise<void> => {
    const one = played.get(site);
    played.delete(site);
    one?.ended.abort();
    await one?.done;
  };
  return {
    scenarios: SCENARIOS.map(({ name, summary }) => ({ name, summary })),
    start(config, { scenario, seed, speed }) {
      // The same order twice is one drill.
      if (played.has(config.site.id)) return;
      const nowMs = clock().nowMs();
      const simulation = createSimulation({ scenario, seed, siteId: config.site.id, rigs: config.rigs.length, plates: config.rigs.map(plateOf), startAtMs: nowMs - WARM_MS, liveFromMs: nowMs + LEAD_MS, form: 'number' });
      simulation.advanceTo(nowMs);
      const ended = new AbortController();
      const login = {
        ...(broker?.username ? { username: broker.username } : {}),
        ...(broker?.passwordFile ? { password: readFileSync(broker.passwordFile, 'utf8').trim() } : {}),
        ...(broker?.caFile ? { ca: readFileSync(broker.caFile) } : {}),
      };
      const publishing = publishSimulation({ ...login, simulation: onSite(simulation, config), mqttUrl: mqttUrl(), nowMs: () => clock().nowMs(), speed, signal: ended.signal, onError: (error) => log.warn({ reason: error.message }, 'the drill’s MQTT connection is in trouble') });
      played.set(config.site.id, { ended, done: publishing.catch((error: unknown) => log.error({ err: error }, 'the drill broke off')) });
    },
    stop,
  };
}

/** The rig as the training site has it; what the scenario itself changes on a rig, it changes on top. */
function plateOf({ vessel, hose, nozzle }: RigConfig): RigPlate {
  return {
    ...(vessel?.volume ? { vessel: { ratedPressure: `${vessel.ratedPressure}psi`, volume: `${vessel.volume}m3` } } : {}),
    ...(hose ? { blastHose: { bore: `${hose.bore}m`, length: `${hose.length}m` } } : {}),
    ...(nozzle ? { nozzle: `${nozzle.bore}m` } : {}),
  };
}

/** The simulation under the ids of the training site: its first rig is the scenario's rig A, its first compressor comp-1, and so on. */
function onSite(simulation: Simulation, config: SiteConfig): Simulation {
  const names = new Map<string, string>([[config.site.id, config.site.id]]);
  const theirs = simulation.truth.supplies;
  theirs.forEach(({ build }, i) => names.set(build.id, config.compressors[i]?.id ?? ''));
  theirs.flatMap(({ rigs }) => rigs).forEach(({ build }, i) => names.set(build.id, config.rigs[i]?.id ?? ''));
  return {
    ...simulation,
    advanceTo: (atMs) =>
      simulation.advanceTo(atMs).flatMap((message) => {
        const [prefix = '', site = '', owner = '', point = ''] = message.topic.split('/');
        const name = names.get(owner);
        // A site with fewer compressors than the scenario brings does not hear of the others.
        return name ? [{ ...message, topic: `${prefix}/${site}/${name}/${point}` }] : [];
      }),
  };
}
