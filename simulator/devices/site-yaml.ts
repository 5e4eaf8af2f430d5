import { RIGS_A_COMPRESSOR, rigId, rigName, rigSheet } from '../scenarios/build-site.ts';
import type { Scenario } from '../scenarios/scenario.ts';
import type { DeviceBuild } from './device.ts';
import { sourceOf } from './payload-form.ts';

/**
 * The configuration that describes this site to Potside, as a person would write it. A device that publishes a bare
 * number on the default topic needs no mapping, and gets none. `siteId` is the sheet's own unless there are many like it.
 */
export function siteYaml(scenario: Scenario, siteId: string, rigs: number, devices: readonly DeviceBuild[]): string {
  const { site } = scenario;
  const points = (owner: string, indent: string): string[] => pointLines(siteId, owner, devices, indent);
  const ids = Array.from({ length: rigs }, (_, i) => rigId(i));
  const lines = [`site: { id: ${siteId}, name: ${JSON.stringify(site.name)}, zone: ${site.zone}, elevation: ${site.elevation} }`, 'compressors:'];
  for (let i = 0; i * RIGS_A_COMPRESSOR < rigs; i += 1) {
    lines.push(...compressorLines(scenario, `comp-${i + 1}`, ids.slice(i * RIGS_A_COMPRESSOR, (i + 1) * RIGS_A_COMPRESSOR), points));
  }
  lines.push('rigs:', ...ids.flatMap((id) => rigLines(scenario, id, points)), ...points('site', ''));
  const overrides = Object.entries(scenario.alarms ?? {}).map(([name, changes]) => `  ${name}: { ${Object.entries(changes).map(([key, value]) => `${key}: ${value}`).join(', ')} }`);
  if (overrides.length > 0) lines.push('alarms:', ...overrides);
  return `${lines.join('\n')}\n`;
}

type Points = (owner: string, indent: string) => string[];

function compressorLines({ compressor }: Scenario, id: string, serves: readonly string[], points: Points): string[] {
  return [
    `  - id: ${id}`,
    `    rated-flow: ${compressor.ratedFlow}`,
    `    rated-pressure: ${compressor.ratedPressure}`,
    `    intake-bearing: ${compressor.intakeBearing}`,
    `    serves: [${serves.join(', ')}]`,
    ...points(id, '    '),
  ];
}

function rigLines(scenario: Scenario, id: `rig-${string}`, points: Points): string[] {
  const sheet = rigSheet(scenario, id);
  return [
    `  - id: ${id}`,
    `    name: ${rigName(id)}`,
    `    vessel: { rated-pressure: ${sheet.vessel.ratedPressure}, volume: ${sheet.vessel.volume} }`,
    `    hose: { bore: ${sheet.blastHose.bore}, length: ${sheet.blastHose.length} }`,
    `    nozzle: { bore: ${sheet.nozzle} }`,
    '    respirator: { pressure: 50psi..75psi }',
    `    wanted: { nozzle-pressure: ${sheet.wanted} }`,
    ...points(id, '    '),
  ];
}

function pointLines(siteId: string, owner: string, devices: readonly DeviceBuild[], indent: string): string[] {
  const lines = devices.flatMap((device) =>
    device.channels
      .filter((channel) => channel.owner === owner)
      .flatMap((channel) => {
        const source = sourceOf(device, channel, siteId);
        return source === null ? [] : [`${indent}  ${channel.point}: { ${source} }`];
      }),
  );
  return lines.length === 0 ? [] : [`${indent}points:`, ...lines];
}
