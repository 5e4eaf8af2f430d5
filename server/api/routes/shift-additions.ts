import { createHash } from 'node:crypto';
import { setTimeout as pause } from 'node:timers/promises';
import type { FastifyRequest } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import type { ShiftAction } from '../../../domain/shift/next-shifts.ts';
import { MEANINGS } from '../../../domain/shift/shift.ts';
import type { Permission } from '../../access/role.ts';
import type { ActionResult } from '../../intake/site.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { findShift, tellShift } from '../find-shift.ts';
import { conflict, notFound, ProblemError } from '../problem-error.ts';
import { setupBody, shiftShape } from '../shift-shape.ts';
import { instant } from '../shapes.ts';
import { idempotency, keyOf } from './alarms.ts';

const params = z.object({ id: z.string().max(80) });
const words = z.string().trim().min(1).max(2000);
const handoverBody = z.strictObject({ to: z.string().trim().min(1).max(64), text: words });
const noteBody = z.strictObject({ text: words, placedAt: instant.optional().describe('the instant on the trace that it is about; now, where it is left out'), point: z.string().max(80).nullish(), photo: z.string().max(80).nullish() });
const correctionBody = z.strictObject({ of: z.string().trim().min(1).max(120).describe('id of a note or an entry, or the name of a field'), text: words });
const signOffBody = z.strictObject({ meaning: z.enum(MEANINGS) });

/** Shorter than a connection is kept that says nothing. */
const SEAL_AWAITED_MS = 20_000;

/** A photo as a phone takes it. */
const MAX_PHOTO_BYTES = 5 * 1024 * 1024;
/** How JPEG and PNG begin (ISO/IEC 10918-1, ISO/IEC 15948). */
const MAGIC = { 'image/jpeg': [0xff, 0xd8, 0xff], 'image/png': [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a] } as const;

/** What is added to a shift: handover, notes, photos, a changed setup, corrections, signatures. Nothing written is ever changed. */
export function shiftAdditionRoutes(api: Api, context: ApiContext): void {
  const { store } = context;
  const schema = (summary: string) => ({ summary, params, headers: idempotency, response: { 200: shiftShape } });
  const shiftOf = (id: string): Promise<z.infer<typeof shiftShape>> => tellShift(context, id);
  const act = async (request: FastifyRequest, permission: Permission, said: Exclude<ShiftAction, { kind: 'start-shift' }>): Promise<ActionResult> => {
    const { name: by, role } = need(request, permission);
    const { writer } = await findShift(context, said.shift);
    const result = await writer.act({ ...said, key: keyOf(request), by, role, from: request.ip });
    if (result.refusal !== null) throw conflict(result.refusal);
    return result;
  };

  api.put('/shifts/:id/setup', { config: { permission: 'add-to-record' }, schema: { ...schema('The setup was changed in mid-shift; what the line lost before is no measure any more'), body: setupBody } }, async (request) => {
    await act(request, 'add-to-record', { kind: 'change-setup', shift: request.params.id, setup: request.body });
    return shiftOf(request.params.id);
  });
  api.post('/shifts/:id/handover', { config: { permission: 'add-to-record' }, schema: { ...schema('Hand over to somebody'), body: handoverBody } }, async (request) => {
    await act(request, 'add-to-record', { kind: 'hand-over', shift: request.params.id, ...request.body });
    return shiftOf(request.params.id);
  });
  api.post('/shifts/:id/notes', { config: { permission: 'add-to-record' }, schema: { ...schema('A note, placed on the trace'), body: noteBody } }, async (request) => {
    const { text, placedAt, point, photo } = request.body;
    const { id } = request.params;
    if (photo && !(await hasPhoto(id, photo))) throw notFound(`photo ${JSON.stringify(photo)} on this shift`);
    await act(request, 'add-to-record', { kind: 'note', shift: id, text, placedAtMs: placedAt ?? null, point: point ?? null, photo: photo ?? null });
    return shiftOf(id);
  });
  api.post('/shifts/:id/corrections', { config: { permission: 'add-to-record' }, schema: { ...schema('A correction; what it corrects stays as it was'), body: correctionBody } }, async (request) => {
    const { id } = request.params;
    const { shift } = (await findShift(context, id)).recorded;
    await act(request, 'add-to-record', { kind: 'correct', shift: id, ...request.body, sealed: shift.seal && { rig: shift.rig, root: shift.seal.root } });
    return shiftOf(id);
  });
  api.post('/shifts/:id/sign-off', { config: { permission: 'sign-off' }, schema: { ...schema('Sign an ended shift: two people in two roles; the second signature seals it'), body: signOffBody } }, async (request) => {
    await act(request, 'sign-off', { kind: 'sign-off', shift: request.params.id, meaning: request.body.meaning });
    // The second signature is answered with the seal where that is made soon; of a long shift it follows.
    await Promise.race([context.closer.settled(), pause(SEAL_AWAITED_MS, undefined, { ref: false })]);
    return shiftOf(request.params.id);
  });

  const hasPhoto = async (shift: string, photo: string): Promise<boolean> => (await store.shiftRecord.items(shift)).some((item) => item.kind === 'photo' && item.photo === photo);
  void api.register(async (plain) => {
    const photos = plain.withTypeProvider<ZodTypeProvider>();
    for (const type of Object.keys(MAGIC)) photos.addContentTypeParser(type, { parseAs: 'buffer', bodyLimit: MAX_PHOTO_BYTES }, (_request, body, done) => done(null, body));
    photos.post('/shifts/:id/photos', { config: { permission: 'add-to-record' }, bodyLimit: MAX_PHOTO_BYTES, schema: { summary: 'Add a photo: JPEG or PNG, 5 MB at most', consumes: Object.keys(MAGIC), params, headers: idempotency, response: { 201: z.object({ id: z.string().describe('SHA-256 of its bytes') }) } } }, async (request, reply) => {
      need(request, 'add-to-record');
      await findShift(context, request.params.id);
      const { body } = request;
      const mediaType = (request.headers['content-type'] ?? '').split(';')[0] ?? '';
      if (!Buffer.isBuffer(body) || !isA(mediaType, body)) throw new ProblemError(400, 'Bad request', `body: expected the bytes of a JPEG or PNG as its content type says, found ${mediaType || 'no content type'}`);
      const id = createHash('sha256').update(body).digest('hex');
      // The bytes first: an entry of the log must never name a photo that is not there.
      await store.shiftRecord.keepPhoto(id, { mediaType, bytes: body });
      await act(request, 'add-to-record', { kind: 'add-photo', shift: request.params.id, photo: id, mediaType, size: body.length });
      return reply.code(201).send({ id });
    });
  });
  api.get('/shifts/:id/photos/:photo', { config: { permission: 'watch' }, schema: { summary: 'A photo', params: z.object({ id: z.string().max(80), photo: z.string().max(80) }) } }, async (request, reply) => {
    need(request, 'watch');
    const { id, photo } = request.params;
    await findShift(context, id);
    const held = (await hasPhoto(id, photo)) ? await store.shiftRecord.photo(photo) : null;
    if (!held) throw notFound(`photo ${JSON.stringify(photo)} on this shift`);
    return reply.type(held.mediaType).header('cache-control', 'private, max-age=31536000, immutable').send(Buffer.from(held.bytes));
  });
}

function isA(mediaType: string, body: Buffer): boolean {
  const magic: readonly number[] | undefined = MAGIC[mediaType as keyof typeof MAGIC];
  return magic !== undefined && magic.every((byte, index) => body[index] === byte);
}
