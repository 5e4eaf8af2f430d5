import { stringify } from 'csv-stringify/sync';
import { z } from 'zod';
import type { AuditQuery, AuditRow } from '../../audit/audit-trail.ts';
import { type Api, type ApiContext, doerOf, need } from '../context.ts';
import { ProblemError } from '../problem-error.ts';
import { instant, listOf, rfc3339 } from '../shapes.ts';

const row = z.object({
  seq: z.number(),
  at: rfc3339,
  by: z.string(),
  role: z.string(),
  address: z.string(),
  what: z.string(),
  site: z.string().nullable(),
  subject: z.string().nullable(),
  old: z.unknown(),
  new: z.unknown(),
  why: z.string().nullable(),
  hash: z.string().describe('SHA-256 over this row and the hash of the one before it'),
});
const filters = z.object({
  by: z.string().max(64).optional(),
  what: z.string().max(64).optional(),
  site: z.string().max(32).optional(),
  subject: z.string().max(120).optional(),
  search: z.string().max(100).optional().describe('in any text, whatever the case'),
  from: instant.optional(),
  to: instant.optional(),
});
const query = filters.extend({ limit: z.coerce.number().int().min(1).max(500).default(100), cursor: z.coerce.number().int().min(1).optional() });
/** So many rows leave in one file; narrow it by time for more. */
const MOST = 50_000;
const SEE = { permission: 'see-audit' } as const;

/** Who did what, when, from where, and why: chained, searchable, exportable, only ever added to. */
export function auditRoutes(api: Api, { accounts, clock }: ApiContext): void {
  const { trail } = accounts;
  const ask = (request: Parameters<typeof need>[0], { from, to, search, ...rest }: z.infer<typeof filters>, limit: number, beforeSeq?: number): Promise<AuditRow[]> =>
    trail.find({ ...rest, text: search, fromMs: from, toMs: to, limit, beforeSeq, sites: need(request, 'see-audit').sites } satisfies AuditQuery);

  api.get('/audit', { config: SEE, schema: { summary: 'The audit trail, newest first', querystring: query, response: { 200: listOf(row) } } }, async (request) => {
    const { limit, cursor, ...asked } = request.query;
    const rows = await ask(request, asked, limit, cursor);
    return { items: rows.map(describe), next: rows.length === limit ? String(rows.at(-1)?.seq ?? '') : null };
  });
  api.get('/audit/export', { config: { ...SEE, rateLimit: { max: 10, timeWindow: 60_000 } }, schema: { summary: 'The trail as a file', querystring: filters.extend({ format: z.enum(['csv', 'json']).default('csv') }) } }, async (request, reply) => {
    const { format, ...asked } = request.query;
    const rows = await ask(request, asked, MOST);
    await trail.add({ atMs: clock.nowMs(), ...doerOf(request), what: 'audit-exported', new: { format, rows: rows.length } });
    reply.header('content-disposition', `attachment; filename="potside-audit.${format}"`);
    if (format === 'json') return reply.type('application/json').send(JSON.stringify(rows.map(describe)));
    return reply.type('text/csv; charset=utf-8').send(toCsv(rows));
  });
  api.get('/audit/verify', { config: { ...SEE, rateLimit: { max: 10, timeWindow: 60_000 } }, schema: { summary: 'Is the chain whole? Names the row where it is not', response: { 200: z.object({ intact: z.boolean(), rows: z.number().nullable(), hash: z.string().nullable(), reason: z.string().nullable() }) } } }, async (request) => {
    if (need(request, 'see-audit').sites !== null) throw new ProblemError(403, 'Not allowed', 'the chain runs over all sites: ask somebody who may see them');
    const verdict = await trail.verify();
    return verdict.intact ? { intact: true, rows: verdict.rows, hash: verdict.hash, reason: null } : { intact: false, rows: null, hash: null, reason: verdict.reason };
  });
}

function describe({ atMs, ...rest }: AuditRow): z.infer<typeof row> {
  return { ...rest, at: new Date(atMs).toISOString() };
}

/** A text that a spreadsheet would take for a formula is kept a text. */
function toCsv(rows: readonly AuditRow[]): string {
  const columns = ['seq', 'at', 'by', 'role', 'address', 'what', 'site', 'subject', 'old', 'new', 'why', 'hash'] as const;
  const cells = rows.map(describe).map((held) => columns.map((column) => ((value) => (value === null || value === undefined ? '' : typeof value === 'object' ? JSON.stringify(value) : value))(held[column])));
  return stringify([[...columns], ...cells], { escape_formulas: true, record_delimiter: '\r\n' });
}
