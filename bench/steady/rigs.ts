import { MEASURED } from '../levels.ts';

/** A site of so many rigs, each with a compressor of its own and every sensor on its default topic. */
export function siteYaml(rigs: number): string {
  const each = (line: (rig: number) => string): string => Array.from({ length: rigs }, (_, rig) => line(rig)).join('\n');
  return `site: { id: bench, name: Bench, zone: UTC }\ncompressors:\n${each((rig) => `  - { id: comp-${rig}, serves: [rig-${rig}] }`)}\nrigs:\n${each((rig) => `  - { id: rig-${rig}, hose: { bore: 1.25in, length: 100ft }, nozzle: { bore: 7/16in } }`)}\n`;
}

export interface Sensor {
  readonly owner: string;
  readonly point: string;
  readonly rig: number;
}

/** The sensors of such a site, `points` (1 to 17) a rig. */
export function sensorsOf(rigs: number, points: number): Sensor[] {
  return Array.from({ length: rigs }, (_, rig) => MEASURED.slice(0, points).map(({ id, of }): Sensor => ({ owner: of === 'rig' ? `rig-${rig}` : `comp-${rig}`, point: id, rig }))).flat();
}
