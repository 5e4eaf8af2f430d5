import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import { LANGUAGE_CODES } from '../../../domain/shift/language.ts';
import type { ExportJob, ExportKind, ExportResult } from '../../export/export-job.ts';
import { type Api, type ApiContext, doerOf, need } from '../context.ts';
import { findShift } from '../find-shift.ts';
import { conflict, ProblemError } from '../problem-error.ts';

const EXPORT_TIMEOUT_MS = 300_000;

const params = z.object({ id: z.string().max(80) });
const tracePoints = z.object({ points: z.string().optional().describe('point ids, separated by commas; all measured ones where it is left out') });
const reportLanguage = z.object({ language: z.enum(LANGUAGE_CODES).optional().describe('without it as it was sealed, else the site’s; of a sealed shift in another language a translation, which says so') });
const summaryShape = z.looseObject({
  shift: z.string(),
  from: z.string(),
  to: z.string(),
  coverage: z.array(z.object({ owner: z.string(), point: z.string(), fraction: z.number(), gaps: z.array(z.object({ from: z.string(), to: z.string(), cause: z.string() })) })),
});

/** What can be taken out of a shift: its summary, the report, the traces, and the whole record to be checked elsewhere. */
export function shiftExportRoutes(api: Api, context: ApiContext): void {
  const run = async (request: FastifyRequest, kind: ExportKind, shift: string, more: Pick<ExportJob, 'language'> & { readonly points?: string | undefined } = {}): Promise<ExportResult> => {
    need(request, 'watch');
    // A long shift takes longer than a silent connection is otherwise kept.
    request.raw.socket.setTimeout(EXPORT_TIMEOUT_MS);
    const { writer } = await findShift(context, shift);
    const { config } = writer.state;
    if (!config) throw new ProblemError(503, 'Not ready', 'the site has no configuration yet');
    if (kind !== 'summary') await noteExport(request, writer.siteId, kind, shift);
    const { points, ...rest } = more;
    const made = await context.exporter.run({ kind, shift, config, nowMs: context.clock.nowMs(), version: context.version, dataDir: context.dataDir, points: points === undefined ? null : points.split(','), ...rest });
    if (made.refusal !== undefined) throw conflict(made.refusal);
    return made;
  };
  /** What leaves the house is in the trail. */
  const noteExport = async (request: FastifyRequest, site: string, kind: ExportKind, shift: string): Promise<void> => {
    await context.accounts.trail.add({ atMs: context.clock.nowMs(), ...doerOf(request), what: 'shift-exported', site, subject: shift, new: { kind } });
  };
  const send = (reply: FastifyReply, { bytes }: ExportResult, mediaType: string, name: string): FastifyReply =>
    reply.type(mediaType).header('content-disposition', `attachment; filename="${name}"`).header('cache-control', 'no-store').send(Buffer.from(bytes ?? new Uint8Array()));
  const schema = (summary: string) => ({ summary, params });

  api.get('/shifts/:id/summary', { config: { permission: 'watch' }, schema: { ...schema('A shift summed up: coverage with gaps first, then work, pressure, people, moisture, wear, use, alarms'), response: { 200: summaryShape } } }, async (request) => (await run(request, 'summary', request.params.id)).summary as z.infer<typeof summaryShape>);
  api.get('/shifts/:id/report.pdf', { config: { permission: 'watch' }, schema: { ...schema('The report of a shift, for people who were not there'), querystring: reportLanguage } }, async (request, reply) => {
    const { language } = request.query;
    return send(reply, await run(request, 'report', request.params.id, language === undefined ? {} : { language }), 'application/pdf', `${request.params.id}${language === undefined ? '' : `-${language}`}.pdf`);
  });
  api.get('/shifts/:id/record.zip', { config: { permission: 'watch' }, schema: schema('The whole record of a shift; `potside verify` checks it') }, async (request, reply) => send(reply, await run(request, 'bundle', request.params.id), 'application/zip', `${request.params.id}.zip`));
  api.get('/shifts/:id/trace.csv', { config: { permission: 'watch' }, schema: { ...schema('Readings of a shift as CSV (RFC 4180)'), querystring: tracePoints } }, async (request, reply) => send(reply, await run(request, 'csv', request.params.id, { points: request.query.points }), 'text/csv; charset=utf-8; header=present', `${request.params.id}.csv`));
  api.get('/shifts/:id/trace.parquet', { config: { permission: 'watch' }, schema: { ...schema('Readings of a shift as Parquet'), querystring: tracePoints } }, async (request, reply) => send(reply, await run(request, 'parquet', request.params.id, { points: request.query.points }), 'application/vnd.apache.parquet', `${request.params.id}.parquet`));
}
