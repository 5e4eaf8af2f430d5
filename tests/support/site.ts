import { parseSiteYaml } from '../../host/read-site-config.ts';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { LoggedReading } from '../../domain/site/log.ts';

/** A site of the tests: two rigs on one compressor. */
export const SITE_YAML = `
site: { id: pier-9, name: Pier 9 fenders, zone: America/Chicago, elevation: 180m }
compressors:
  - { id: comp-1, rated-flow: 750cfm, rated-pressure: 125psi, intake-bearing: 270deg, serves: [rig-a, rig-b] }
rigs:
  - id: rig-a
    name: Rig A
    vessel: { rated-pressure: 125psi, volume: 6.5ft3 }
    hose: { bore: 1.25in, length: 100ft }
    nozzle: { bore: 7/16in }
    wanted: { nozzle-pressure: 90psi..105psi }
    points:
      supply-pressure: { topic: line/pt-101, payload: json, value: /pressure, time: /ts, unit: "[psi]", every: 1s }
  - id: rig-b
`;

export function testSite(yaml: string = SITE_YAML): SiteConfig {
  return parseSiteYaml(yaml, 'site.yaml');
}

/** A good live reading of rig-a's, unless told otherwise. */
export function reading(point: string, value: number | null, atMs: number, rest: Partial<LoggedReading> = {}): LoggedReading {
  return { owner: 'rig-a', point, observedAtMs: atMs, receivedAtMs: atMs, value, quality: value === null ? 'bad' : 'good', reason: value === null ? 'undecodable' : null, late: false, sequence: 0, ...rest };
}
