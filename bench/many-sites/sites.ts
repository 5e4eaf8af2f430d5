/** How many sites, and what one is: four rigs, twelve sensors each, once a second. */
export const SITES = Number(process.env['BENCH_SITES'] ?? 200);
export const RIGS = 4;
export const POINTS = [
  'supply-pressure', 'nozzle-pressure', 'pot-pressure', 'separator-pressure', 'breathing-air-co', 'breathing-air-pressure', 'breathing-air-temperature', 'breathing-air-oxygen',
  'steel-temperature', 'air-line-dew-point', 'separator-temperature', 'remote-control',
] as const;

export const siteId = (site: number): string => `yard-${String(site + 1).padStart(3, '0')}`;

/** Rigs have names of their own in one installation. */
export const rigId = (site: number, rig: number): string => `rig-${String(site + 1).padStart(3, '0')}-${rig + 1}`;

/** What one rig's box sends each second: its twelve sensors as one SenML pack (RFC 8428). */
export const topicOf = (site: number, rig: number): string => `yards/${siteId(site)}/${rigId(site, rig)}`;

const LEVELS: Readonly<Record<(typeof POINTS)[number], number>> = {
  'supply-pressure': 105, 'nozzle-pressure': 96, 'pot-pressure': 103, 'separator-pressure': 108, 'breathing-air-co': 2, 'breathing-air-pressure': 62, 'breathing-air-temperature': 70, 'breathing-air-oxygen': 20.9,
  'steel-temperature': 68, 'air-line-dew-point': 35, 'separator-temperature': 80, 'remote-control': 1,
};

/** Values that move by their last digit, so that nothing is silent and nothing alarms by itself. */
export function packOf(site: number, rig: number, beat: number, nowMs: number): string {
  return JSON.stringify(POINTS.map((point, index) => ({ ...(index === 0 ? { bt: nowMs / 1000 } : {}), n: point, v: point === 'remote-control' ? 1 : Math.round((LEVELS[point] + ((beat + site + rig + index) % 5) / 10) * 10) / 10 })));
}

/** One site's configuration. `tokenFile`: the gateway's; null at the server. */
export function siteYaml(site: number, mqttUrl: string, uplink: { readonly url: string; readonly tokenFile: string } | null): string {
  const points = (rig: number): string => POINTS.map((point) => `      ${point}: { topic: "${topicOf(site, rig)}", payload: senml, name: "${point}" }`).join('\n');
  const rigs = Array.from({ length: RIGS }, (_, rig) => `  - id: ${rigId(site, rig)}\n    points:\n${points(rig)}`).join('\n');
  return `site: { id: ${siteId(site)}, name: Yard ${site + 1}, zone: UTC }\nrigs:\n${rigs}\n${uplink ? `mqtt: { url: "${mqttUrl}" }\nuplinks:\n  - { name: office, url: "${uplink.url}", token-file: ${uplink.tokenFile} }\n` : ''}`;
}
