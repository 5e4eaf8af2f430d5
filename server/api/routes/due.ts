import { z } from 'zod';
import { dueAgainAtMs, type EntryKind } from '../../../domain/alarms/situation.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { findRig } from '../find-rig.ts';
import { listOf, rfc3339 } from '../shapes.ts';

/** Which entry each test of the alarm table counts from. */
const ENTRIES: Readonly<Record<string, EntryKind>> = { 'bump-due': 'bump-done', 'calibration-due': 'calibration-done', 'filter-due': 'filter-changed', 'blotter-due': 'blotter', 'spot-due': 'spot' };

const due = z.object({
  entry: z.string().describe('what to enter when it is done: POST /api/rigs/:rig/entries'),
  title: z.string(),
  point: z.string(),
  every: z.object({ value: z.number(), unit: z.literal('h') }),
  doneAt: rfc3339.nullable().describe('null: not entered yet, or the last bump test failed'),
  doneBy: z.string().nullable(),
  dueAt: rfc3339.nullable().describe('of the calibration record where there is one, else `every` after doneAt; null: not entered yet, so it is due from the start of a shift where the rule says so'),
  overdue: z.boolean(),
});

/** Bump tests, calibrations, filters, blotters, spots: when each was last done and when it is due, as the alarms count it. */
export function dueRoutes(api: Api, context: ApiContext): void {
  api.get('/rigs/:rig/due', { config: { permission: 'watch' }, schema: { summary: 'What is due on a rig, and when it was last done', params: z.object({ rig: z.string().max(40) }), response: { 200: listOf(due) } } }, (request) => {
    need(request, 'watch');
    const { writer, owner } = findRig(context.writers, request.params.rig);
    const { entries } = writer.state.situation(owner.id);
    const now = context.clock.nowMs();
    const items = [...writer.state.alarms()].flatMap(({ bound }) => {
      const { condition } = bound.rule;
      const kind = condition.kind === 'state' ? ENTRIES[condition.test] : undefined;
      if (kind === undefined || bound.owner !== owner.id || bound.limit === null) return [];
      const done = entries[kind];
      const dueAtMs = done ? dueAgainAtMs(done, bound.limit) : null;
      return [{
        entry: kind,
        title: bound.rule.title,
        point: bound.rule.point ?? '',
        every: { value: bound.limit, unit: 'h' as const },
        doneAt: done ? new Date(done.atMs).toISOString() : null,
        doneBy: done?.by ?? null,
        dueAt: dueAtMs === null ? null : new Date(dueAtMs).toISOString(),
        overdue: dueAtMs !== null && dueAtMs <= now,
      }];
    });
    return { items, next: null };
  });
}
