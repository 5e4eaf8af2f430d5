import { z } from 'zod';
import { onGrid } from '../../../domain/points/reading.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { findRig } from '../find-rig.ts';
import { listOf, rfc3339 } from '../shapes.ts';

const ppm = z.number().nullable().describe('ppm; null where nothing was measured');
const person = z.object({
  name: z.string(),
  since: rfc3339,
  average8h: ppm.describe('time-weighted, divided by eight hours; gaps count as the mean of what was measured'),
  average15min: ppm,
  highest: ppm,
  carboxyhaemoglobin: z.number().describe('percent; an estimate by the Coburn-Forster-Kane equation for an average adult at heavy work, not a blood test'),
});

/** Who breathes from a rig's panel, and what they breathed today, over all rigs. */
export function underHoodRoutes(api: Api, { writers }: ApiContext): void {
  const schema = { summary: 'Who is under the hood, and their exposure to carbon monoxide', params: z.object({ rig: z.string() }), response: { 200: listOf(person) } };
  api.get('/rigs/:rig/under-hood', { config: { permission: 'watch' }, schema }, (request) => {
    need(request, 'watch');
    const { writer, owner } = findRig(writers, request.params.rig);
    const inPpm = (fraction: number | null | undefined): number | null => (fraction === null || fraction === undefined ? null : onGrid(fraction * 1e6, 0.1));
    const items = writer.state.situation(owner.id).underHood.map(({ name, sinceMs }) => {
      const figures = writer.state.exposure(name);
      return {
        name,
        since: new Date(sinceMs).toISOString(),
        average8h: inPpm(figures?.eightHours?.average),
        average15min: inPpm(figures?.quarterHour?.average),
        highest: inPpm(figures?.highest),
        carboxyhaemoglobin: onGrid((figures?.cohb ?? 0) * 100, 0.01),
      };
    });
    return { items, next: null };
  });
}
