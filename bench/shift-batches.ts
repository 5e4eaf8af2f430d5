import type { LoggedReading } from '../domain/site/log.ts';
import type { SiteConfig } from '../domain/shift/site-config.ts';
import { takeIn } from '../gateway/take-in.ts';
import { TopicMap } from '../gateway/topic-map.ts';
import { parseSiteYaml } from '../host/read-site-config.ts';
import { createSimulation } from '../simulator/simulation.ts';

/** An uneventful hour of simulated rigs as the server takes it in: a batch a second. */
export function shiftBatches(rigs: number, seconds: number): { config: SiteConfig; startAtMs: number; batches: LoggedReading[][] } {
  const startAtMs = Date.UTC(2026, 5, 1, 12);
  const simulation = createSimulation({ scenario: 'quiet', seed: 1, rigs, startAtMs });
  const config = parseSiteYaml(simulation.siteYaml, 'bench site.yaml');
  const topics = new TopicMap(config);
  const batches = Array.from({ length: seconds }, (_, second) =>
    simulation.advanceTo(startAtMs + (second + 1) * 1000).flatMap((message) =>
      takeIn(topics, { topic: message.topic, payload: Buffer.from(message.payload), retained: false }, message.atMs).readings.map(({ backlog, ...reading }) => ({ ...reading, late: backlog, sequence: 0 })),
    ),
  );
  return { config, startAtMs, batches };
}
