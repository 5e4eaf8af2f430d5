import { z } from 'zod';
import { type Api, type ApiContext, need } from '../context.ts';
import { JOURNAL_KINDS } from '../../record/store.ts';
import { ProblemError } from '../problem-error.ts';
import { listOf, rfc3339 } from '../shapes.ts';
import { journalText } from '../journal-text.ts';

const item = z.object({
  id: z.string(),
  site: z.string(),
  rig: z.string().nullable().describe('rig, compressor or site it is about'),
  at: rfc3339,
  kind: z.enum(JOURNAL_KINDS),
  text: z.string(),
  detail: z.record(z.string(), z.unknown()),
});

const query = z.object({
  site: z.string().optional(),
  rig: z.string().optional(),
  alarm: z.string().optional(),
  limit: z.coerce.number().int().min(1).max(500).default(50),
  cursor: z.string().optional(),
});

/** What happened, newest first: moves of alarms, actions of people, changes of setup and clock. Only ever added to. */
export function journalRoutes(api: Api, { store, writers }: ApiContext): void {
  api.get('/journal', { config: { permission: 'watch' }, schema: { summary: 'The journal, newest first', querystring: query, response: { 200: listOf(item) } } }, async (request) => {
    need(request, 'watch');
    const { site, rig, alarm, limit, cursor } = request.query;
    const sites = site === undefined ? [...writers.keys()] : [site].filter((id) => writers.has(id));
    const before = cursor === undefined ? undefined : parseCursor(cursor);
    const rows = (await Promise.all(sites.map((id) => store.journal(id, { owner: rig, alarm, limit, before }))))
      .flat()
      .toSorted((a, b) => b.atMs - a.atMs || b.seq - a.seq || b.n - a.n)
      .slice(0, limit);
    const last = rows.at(-1);
    return {
      items: rows.map((row) => ({ id: `${row.site}-${row.seq}-${row.n}`, site: row.site, rig: row.owner, at: new Date(row.atMs).toISOString(), kind: row.kind, text: journalText(row), detail: row.detail })),
      next: last && rows.length === limit ? `${last.seq}.${last.n}` : null,
    };
  });
}

function parseCursor(text: string): { seq: number; n: number } {
  const match = /^(\d{1,15})\.(\d{1,9})$/.exec(text);
  if (!match) throw new ProblemError(400, 'Bad request', `cursor: found ${JSON.stringify(text)}, expected the "next" of an earlier answer`);
  return { seq: Number(match[1]), n: Number(match[2]) };
}
