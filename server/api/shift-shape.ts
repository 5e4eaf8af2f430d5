import { z } from 'zod';
import { MEANINGS, type ShiftItem, type SignOff, shiftState } from '../../domain/shift/shift.ts';
import type { RecordedShift } from '../record/shift-record.ts';
import { rfc3339 } from './shapes.ts';

const text = z.string().trim().max(500);
const length = z.strictObject({ value: z.number().finite(), unit: z.string().max(20).describe('UCUM code of a length, e.g. [in_i], mm, [ft_i], m') }).nullable().default(null);

/** What a request may say of the setup. */
export const setupBody = z.strictObject({
  nozzleBore: length,
  hoseBore: length,
  hoseLength: length,
  compressor: text.default(''),
  respirator: text.default(''),
  breathingFilter: text.default(''),
  abrasive: text.default(''),
  notes: text.default(''),
});
const name = z.string().trim().min(1).max(64);
export const crewBody = z.array(z.strictObject({ name, job: z.string().trim().max(64).default('') })).max(50);
const date = z.string().regex(/^\d{4}-\d{2}-\d{2}/, 'expected a date, YYYY-MM-DD').transform((written) => written.slice(0, 10));
export const calibrationsBody = z.array(z.strictObject({ point: z.string().trim().min(1).max(80), certificate: z.string().trim().max(120).default(''), done: date, due: date })).max(100);

const figure = z.object({ value: z.number(), unit: z.string() }).nullable();
const written = z.object({ value: z.number(), unit: z.string() }).nullable();
const head = {
  id: z.string(),
  site: z.string(),
  rig: z.string(),
  state: z.enum(['open', 'ended', 'signed-once', 'sealed']),
  startedAt: rfc3339,
  startedBy: z.string(),
  endedAt: rfc3339.nullable(),
  endedBy: z.string().nullable(),
  drill: z.boolean(),
  replay: z.boolean(),
  crew: z.array(z.object({ name: z.string(), job: z.string() })),
};

const signOffShape = z.object({ at: rfc3339, name: z.string(), role: z.string(), meaning: z.enum(MEANINGS) });

export const cardShape = z.object({
  ...head,
  signOffs: z.array(signOffShape),
  headline: z
    .object({
      blastingMs: z.number(),
      nozzleMedian: figure,
      coMax: figure,
      audibleAlarms: z.number(),
      criticalAlarms: z.number(),
      coverage: z.number().nullable(),
      lostProduction: z.number().nullable(),
      boreStart: figure,
      boreEnd: figure,
    })
    .nullable(),
});

export const shiftShape = z.object({
  ...head,
  setup: z.object({ nozzleBore: written, hoseBore: written, hoseLength: written, compressor: z.string(), respirator: z.string(), breathingFilter: z.string(), abrasive: z.string(), notes: z.string() }),
  calibrations: z.array(z.object({ point: z.string(), certificate: z.string(), done: z.string(), due: z.string() })),
  handovers: z.array(z.object({ at: rfc3339, by: z.string(), to: z.string(), text: z.string() })),
  notes: z.array(z.object({ id: z.string(), at: rfc3339, by: z.string(), text: z.string(), placedAt: rfc3339.describe('the instant on the trace that it is about'), point: z.string().nullable(), photo: z.string().nullable() })),
  corrections: z.array(z.object({ at: rfc3339, by: z.string(), of: z.string(), text: z.string() })),
  signOffs: z.array(signOffShape),
  seal: z.object({ root: z.string(), at: rfc3339, key: z.string() }).nullable(),
});

export const entryShape = z.object({ id: z.string(), at: rfc3339, by: z.string(), kind: z.string(), value: z.number().nullable(), second: z.number().nullable(), unit: z.string().nullable(), place: z.string(), text: z.string() });

const iso = (ms: number): string => new Date(ms).toISOString();
const isoOrNull = (ms: number | null): string | null => (ms === null ? null : iso(ms));

function describeHead({ site, shift }: RecordedShift, isReplay: boolean) {
  const { id, rig, startedBy, endedBy, drill, crew } = shift;
  return { id, site, rig, state: shiftState(shift), startedAt: iso(shift.startedAtMs), startedBy, endedAt: isoOrNull(shift.endedAtMs), endedBy, drill, replay: isReplay, crew: [...crew] };
}

function describeSignOff({ atMs, name: signer, role, meaning }: SignOff): z.infer<typeof signOffShape> {
  return { at: iso(atMs), name: signer, role, meaning };
}

export function describeCard(recorded: RecordedShift, isReplay: boolean): z.infer<typeof cardShape> {
  return { ...describeHead(recorded, isReplay), signOffs: recorded.shift.signOffs.map(describeSignOff), headline: recorded.headline };
}

export function describeShift(recorded: RecordedShift, items: readonly ShiftItem[], isReplay: boolean): z.infer<typeof shiftShape> {
  const { setup, calibrations, signOffs, seal } = recorded.shift;
  return {
    ...describeHead(recorded, isReplay),
    setup,
    calibrations: [...calibrations],
    handovers: items.flatMap((item) => (item.kind === 'handover' ? [{ at: iso(item.atMs), by: item.by, to: item.to, text: item.text }] : [])),
    notes: items.flatMap((item) => (item.kind === 'note' ? [{ id: item.id, at: iso(item.atMs), by: item.by, text: item.text, placedAt: iso(item.placedAtMs), point: item.point, photo: item.photo }] : [])),
    corrections: items.flatMap((item) => (item.kind === 'correction' ? [{ at: iso(item.atMs), by: item.by, of: item.of, text: item.text }] : [])),
    signOffs: signOffs.map(describeSignOff),
    seal: seal && { root: seal.root, at: iso(seal.atMs), key: seal.key },
  };
}

export function describeEntries(items: readonly ShiftItem[]): z.infer<typeof entryShape>[] {
  return items.flatMap((item) => (item.kind === 'entry' ? [{ id: item.id, at: iso(item.atMs), by: item.by, kind: item.entry, value: item.value, second: item.second, unit: item.unit, place: item.place, text: item.text }] : []));
}
