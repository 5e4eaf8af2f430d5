import { createGunzip } from 'node:zlib';
import type { FastifyRequest } from 'fastify';
import { z } from 'zod';
import { gatewayReport } from '../../../domain/wire/gateway-report.ts';
import { uplinkAck, uplinkBatch } from '../../../domain/wire/uplink.ts';
import type { Api, ApiContext } from '../context.ts';
import { notFound, ProblemError } from '../problem-error.ts';

/** Five hundred topics and a hundred refusals. */
const MAX_REPORT_BYTES = 1024 * 1024;
/** A full batch of long names, unpacked; what is larger is no gateway's. */
const MAX_BATCH_BYTES = 2 * 1024 * 1024;

/** The way in for gateways elsewhere: answered after the commit. */
export function uplinkRoutes(api: Api, context: ApiContext): void {
  api.post(
    '/uplink/:site',
    {
      bodyLimit: MAX_BATCH_BYTES,
      schema: { summary: 'Readings from a gateway, as JSON or gzip of it; answered once they are committed', params: z.object({ site: z.string().max(40) }), body: uplinkBatch, response: { 200: uplinkAck } },
      // A backfill asks often, one batch after the other; its pace is the record's.
      config: { permission: 'deliver', rateLimit: false },
      preParsing: async (request, _reply, payload) => unpack(request, payload),
    },
    async (request) => {
      const { site } = request.params;
      if (!context.writers.has(site)) throw notFound(`site ${JSON.stringify(site)} on this server`);
      const ack = await context.deliver({ site, ...request.body }).catch((error: unknown) => {
        request.log.warn({ err: error, site }, 'a gateway’s batch was not committed');
        throw new ProblemError(503, 'Not recorded', 'the record did not take it: send it again');
      });
      return { ...ack, tokenUntilMs: request.identity?.untilMs ?? null };
    },
  );
}

/** How the gateway of a site is, and what it hears. */
export function gatewayReportRoutes(api: Api, context: ApiContext): void {
  const params = z.object({ site: z.string().max(40) });
  api.post(
    '/uplink/:site/report',
    {
      bodyLimit: MAX_REPORT_BYTES,
      schema: { summary: 'How a gateway is, told by itself every few seconds', params, body: gatewayReport, response: { 200: z.object({}) } },
      config: { permission: 'deliver' },
      preParsing: async (request, _reply, payload) => unpack(request, payload),
    },
    async (request) => {
      const { site } = request.params;
      if (!context.writers.has(site)) throw notFound(`site ${JSON.stringify(site)} on this server`);
      await context.noteReport(site, request.body);
      return {};
    },
  );
}

type Payload = NodeJS.ReadableStream & { receivedEncodedLength?: number };

/** The size limit counts what comes out, so that a small bomb stays small. */
function unpack(request: FastifyRequest, payload: Payload): Payload {
  const encoding = request.headers['content-encoding'];
  if (encoding === undefined || encoding === 'identity') return payload;
  if (encoding !== 'gzip') throw new ProblemError(415, 'Unsupported media type', `found content-encoding ${encoding}, expected gzip or none`);
  const unpacked: Payload = payload.pipe(createGunzip());
  payload.on('data', (chunk: Buffer) => (unpacked.receivedEncodedLength = (unpacked.receivedEncodedLength ?? 0) + chunk.byteLength));
  return unpacked;
}
