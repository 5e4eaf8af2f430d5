export const POINTS = ['supply-pressure', 'pot-pressure', 'breathing-air-pressure', 'separator-pressure', 'breathing-air-temperature'];
const RIGS = 10;
/** Readings in a pack. */
export const PACK = POINTS.length * RIGS;

const NAMES = Array.from({ length: RIGS }, (_, rig) => POINTS.map((point) => ({ rig: `rig-${rig}`, point }))).flat();

/** The default topic of the n-th reading, one of fifty. */
export function topicOf(number: number): string {
  const { rig, point } = NAMES[number % PACK] ?? { rig: '', point: '' };
  return `potside/bench/${rig}/${point}`;
}

/** Fifty readings as one SenML pack (RFC 8428), with one time for all. */
export function pack(number: number): string {
  return JSON.stringify(NAMES.map(({ rig, point }, index) => ({ ...(index === 0 ? { bt: Date.now() / 1000 - 0.001 } : {}), n: `${rig}:${point}`, v: 60 + ((number + index) % 10) })));
}

/** The site of the benchmark: every point on its default topic, or all of them in packs on one. */
export function siteYaml(isPacked: boolean, mqttUrl: string | null): string {
  const points = (rig: number): string => (isPacked ? `\n    points:\n${POINTS.map((point) => `      ${point}: { topic: pack, payload: senml, name: "rig-${rig}:${point}" }`).join('\n')}` : '');
  const rigs = Array.from({ length: RIGS }, (_, rig) => `  - id: rig-${rig}${points(rig)}`).join('\n');
  return `site: { id: bench, name: Bench, zone: UTC }\nrigs:\n${rigs}\n${mqttUrl === null ? '' : `mqtt: { url: "${mqttUrl}" }\n`}`;
}
