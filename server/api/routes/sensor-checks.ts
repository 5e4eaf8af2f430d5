import type { FastifyRequest } from 'fastify';
import { z } from 'zod';
import { findPointKind } from '../../../domain/points/catalogue.ts';
import type { BumpTestRecord, CalibrationRecord, SensorCheckAction } from '../../../domain/points/sensor-check.ts';
import { type Api, type ApiContext, need } from '../context.ts';
import { findRig } from '../find-rig.ts';
import { conflict } from '../problem-error.ts';
import { instant, rfc3339 } from '../shapes.ts';
import { idempotency, keyOf } from './alarms.ts';

const params = z.object({ rig: z.string().max(40) });
const written = z.strictObject({ value: z.number().finite(), unit: z.string().max(20).describe('UCUM code') });
const point = z.string().trim().min(1).max(80).describe('id of a measured point, e.g. breathing-air-co');
const note = z.string().trim().max(500).default('');
const doneBy = z.string().trim().max(64).default('').describe('who did it, where it is not who tells it');

const calibrationBody = z.strictObject({
  point,
  certificate: z.string().trim().min(1).max(120),
  doneAt: instant,
  dueAt: instant,
  asFound: written.nullable().default(null),
  asLeft: written.nullable().default(null),
  doneBy,
  note,
});
const bumpBody = z.strictObject({
  point: point.default('breathing-air-co'),
  gas: written.describe('concentration of the bottle'),
  passed: z.boolean(),
  doneAt: instant.nullable().default(null).describe('null: now'),
  doneBy,
  note,
});

const said = z.object({ value: z.number(), unit: z.string() });
const told = { point: z.string(), doneAt: rfc3339, doneBy: z.string(), toldAt: rfc3339, toldBy: z.string(), note: z.string() };
const calibration = z.object({ ...told, certificate: z.string(), dueAt: rfc3339, overdue: z.boolean(), asFound: said.nullable(), asLeft: said.nullable() });
const bumpTest = z.object({ ...told, gas: said, passed: z.boolean() });
/** `items`: the latest of each point; `history`: all that are kept, newest first. */
const answer = <T extends z.ZodType>(item: T) => z.object({ items: z.array(item), history: z.array(item), next: z.null() });

/** Calibrations and bump tests of a rig's sensors: told, kept with their due dates, and what the alarms and the check before blasting count. */
export function sensorCheckRoutes(api: Api, context: ApiContext): void {
  const calibrations = (rig: string): z.infer<ReturnType<typeof answer<typeof calibration>>> => {
    const now = context.clock.nowMs();
    return latestAndAll(checksOf(context, rig).filter((check) => check.kind === 'calibration'), (check) => ({
      ...describe(check),
      certificate: check.certificate,
      dueAt: new Date(check.dueAtMs).toISOString(),
      overdue: check.dueAtMs <= now,
      asFound: quantity(check.point, check.asFound),
      asLeft: quantity(check.point, check.asLeft),
    }));
  };
  const bumpTests = (rig: string): z.infer<ReturnType<typeof answer<typeof bumpTest>>> =>
    latestAndAll(checksOf(context, rig).filter((check) => check.kind === 'bump-test'), (check) => ({ ...describe(check), gas: { value: check.gas, unit: unitOf(check.point) }, passed: check.isPassed }));
  const schema = <T extends z.ZodType>(summary: string, item: T) => ({ summary, params, response: { 200: answer(item) } });

  api.get('/rigs/:rig/calibrations', { config: { permission: 'watch' }, schema: schema('Calibrations of a rig’s sensors: the latest of each point with its due date, and the last twelve of each', calibration) }, (request) => {
    need(request, 'watch');
    return calibrations(request.params.rig);
  });
  api.get('/rigs/:rig/bump-tests', { config: { permission: 'watch' }, schema: schema('Bump tests of a rig’s gas monitors: the latest of each, and the last twelve of each', bumpTest) }, (request) => {
    need(request, 'watch');
    return bumpTests(request.params.rig);
  });
  api.post('/rigs/:rig/calibrations', { config: { permission: 'tend-rig' }, schema: { ...schema('A sensor was calibrated', calibration), headers: idempotency, body: calibrationBody } }, async (request) => {
    const { doneAt: doneAtMs, dueAt: dueAtMs, note: text, ...rest } = request.body;
    await act(context, request, { kind: 'record-calibration', rig: request.params.rig, doneAtMs, dueAtMs, text, ...rest });
    return calibrations(request.params.rig);
  });
  api.post('/rigs/:rig/bump-tests', { config: { permission: 'tend-rig' }, schema: { ...schema('A gas monitor was bump-tested; a failed one is due again at once', bumpTest), headers: idempotency, body: bumpBody } }, async (request) => {
    const { doneAt, passed: isPassed, note: text, ...rest } = request.body;
    await act(context, request, { kind: 'record-bump-test', rig: request.params.rig, isPassed, doneAtMs: doneAt ?? context.clock.nowMs(), text, ...rest });
    return bumpTests(request.params.rig);
  });
}

async function act(context: ApiContext, request: FastifyRequest, action: SensorCheckAction): Promise<void> {
  const { name: by, role } = need(request, 'tend-rig');
  const { writer } = findRig(context.writers, action.rig);
  const { refusal } = await writer.act({ ...action, key: keyOf(request), by, role, from: request.ip });
  if (refusal !== null) throw conflict(refusal);
}

function checksOf({ writers }: ApiContext, rig: string): readonly (CalibrationRecord | BumpTestRecord)[] {
  const { writer, owner } = findRig(writers, rig);
  return writer.state.situation(owner.id).checks;
}

function latestAndAll<T extends { readonly point: string; readonly doneAtMs: number; readonly toldAtMs: number }, D>(checks: readonly T[], describeOne: (check: T) => D): { items: D[]; history: D[]; next: null } {
  // Those of one point stand in the order in which they were done: the last one wins.
  const latest = new Map(checks.map((check) => [check.point, check]));
  const history = checks.toSorted((a, b) => b.doneAtMs - a.doneAtMs || b.toldAtMs - a.toldAtMs).map(describeOne);
  return { items: [...latest.values()].map(describeOne), history, next: null };
}

function describe({ point: id, doneAtMs, doneBy: doer, toldAtMs, toldBy, note: said }: CalibrationRecord | BumpTestRecord) {
  return { point: id, doneAt: new Date(doneAtMs).toISOString(), doneBy: doer, toldAt: new Date(toldAtMs).toISOString(), toldBy, note: said };
}

function unitOf(id: string): string {
  return findPointKind(id)?.unit ?? '';
}

function quantity(id: string, value: number | null): { value: number; unit: string } | null {
  return value === null ? null : { value, unit: unitOf(id) };
}
