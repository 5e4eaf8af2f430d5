import { RIGS_A_COMPRESSOR, rigId, rigName, rigSheet } from '../scenarios/build-site.ts';
import type { Scenario } from '../scenarios/scenario.ts';
import type { DeviceBuild } from './device.ts';

/**
 * The configuration that describes this site to Potside, as a person would write it. A device that publishes a bare
 * number on the default topic needs no mapping, and gets none.
 */
export function siteYaml(scenario: Scenario, rigs: number, devices: readonly DeviceBuild[]): string {
  const { site } = scenario;
  const ids = Array.from({ length: rigs }, (_, i) => rigId(i));
  const lines = [`site: { id: ${site.id}, name: ${JSON.stringify(site.name)}, zone: ${site.zone}, elevation: ${site.elevation} }`, 'compressors:'];
  for (let i = 0; i * RIGS_A_COMPRESSOR < rigs; i += 1) {
    lines.push(...compressorLines(scenario, `comp-${i + 1}`, ids.slice(i * RIGS_A_COMPRESSOR, (i + 1) * RIGS_A_COMPRESSOR), devices));
  }
  lines.push('rigs:', ...ids.flatMap((id) => rigLines(scenario, id, devices)), 'points:', ...pointLines('site', devices, '  '));
  const overrides = Object.entries(scenario.alarms ?? {}).map(([name, changes]) => `  ${name}: { ${Object.entries(changes).map(([key, value]) => `${key}: ${value}`).join(', ')} }`);
  if (overrides.length > 0) lines.push('alarms:', ...overrides);
  return `${lines.join('\n')}\n`;
}

function compressorLines({ compressor }: Scenario, id: string, serves: readonly string[], devices: readonly DeviceBuild[]): string[] {
  return [
    `  - id: ${id}`,
    `    rated-flow: ${compressor.ratedFlow}`,
    `    rated-pressure: ${compressor.ratedPressure}`,
    `    intake-bearing: ${compressor.intakeBearing}`,
    `    serves: [${serves.join(', ')}]`,
    '    points:',
    ...pointLines(id, devices, '      '),
  ];
}

function rigLines(scenario: Scenario, id: `rig-${string}`, devices: readonly DeviceBuild[]): string[] {
  const sheet = rigSheet(scenario, id);
  return [
    `  - id: ${id}`,
    `    name: ${rigName(id)}`,
    `    vessel: { rated-pressure: ${sheet.vessel.ratedPressure}, volume: ${sheet.vessel.volume} }`,
    `    hose: { bore: ${sheet.blastHose.bore}, length: ${sheet.blastHose.length} }`,
    `    nozzle: { bore: ${sheet.nozzle} }`,
    '    respirator: { pressure: 50psi..75psi }',
    `    wanted: { nozzle-pressure: ${sheet.wanted} }`,
    '    points:',
    ...pointLines(id, devices, '      '),
  ];
}

function pointLines(owner: string, devices: readonly DeviceBuild[], indent: string): string[] {
  return devices
    .filter((device) => device.payload === 'json')
    .flatMap((device) =>
      device.channels
        .filter((channel) => channel.owner === owner)
        .map(({ point, pointer, unit }) => `${indent}${point}: { topic: ${device.topic}, payload: json, value: ${pointer}, time: /ts, unit: ${JSON.stringify(unit)}, every: ${device.everyMs / 1000}s }`),
    );
}
