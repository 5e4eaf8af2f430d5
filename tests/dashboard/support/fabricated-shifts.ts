import type { HandEntry, Shift, ShiftCard, ShiftHeadline, ShiftState } from '../../../dashboard/api/shift-shapes.ts';
import { SITE } from './fabricated-site.ts';

/** Made-up shifts in the exact shapes of the API: six weeks of two rigs, one running, one night over the end of daylight saving. */
const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const iso = (ms: number): string => new Date(ms).toISOString();

export interface FabricatedShifts {
  readonly shifts: Map<string, Shift>;
  readonly headlines: Map<string, ShiftHeadline>;
  readonly entries: Map<string, HandEntry[]>;
}

/** The night of 1 November 2026 in Chicago, where 01:30 comes twice. */
export const NIGHT_ID = 'quay-4-900-1';
const NIGHT_START = Date.UTC(2026, 10, 1, 2);

export function fabricatedShifts(nowMs: number): FabricatedShifts {
  const made: FabricatedShifts = { shifts: new Map(), headlines: new Map(), entries: new Map() };
  const day = Math.floor(nowMs / DAY) * DAY;
  for (let back = 40; back >= 1; back--) {
    for (const rig of ['rig-a', 'rig-b'] as const) {
      // Sundays off; Rig B stood for a week.
      if (new Date(day - back * DAY).getUTCDay() === 0 || (rig === 'rig-b' && back > 18 && back < 26)) continue;
      const startMs = day - back * DAY + 12.25 * HOUR + (rig === 'rig-b' ? 0.5 * HOUR : 0);
      add(made, `${SITE}-${1000 - back}-${rig === 'rig-a' ? 1 : 2}`, rig, startMs, startMs + (8.2 + Math.sin(back) / 2) * HOUR, back);
    }
  }
  add(made, NIGHT_ID, 'rig-a', NIGHT_START, NIGHT_START + 9 * HOUR, 24);
  const runningMs = nowMs - 3.7 * HOUR;
  for (const rig of ['rig-a', 'rig-b']) add(made, `shift-${rig}`, rig, runningMs, null, 0);
  return made;
}

function add(made: FabricatedShifts, id: string, rig: string, startMs: number, endMs: number | null, back: number): void {
  const wave = Math.sin(back * 1.7 + (rig === 'rig-b' ? 2 : 0));
  const worn = (40 - back) * (rig === 'rig-a' ? 0.022 : 0.014);
  const state: ShiftState = endMs === null ? 'open' : back < 2 ? 'ended' : back < 3 ? 'signed-once' : 'sealed';
  const signed = state === 'sealed' ? 2 : state === 'signed-once' ? 1 : 0;
  const endedMs = endMs ?? startMs;
  const shift: Shift = {
    id, site: SITE, rig, state, startedAt: iso(startMs), startedBy: 'R. Calder', endedAt: endMs === null ? null : iso(endMs), endedBy: endMs === null ? null : 'R. Calder', drill: back === 6, replay: back === 9 && rig === 'rig-b',
    crew: [{ name: 'J. Ortega', job: 'blaster' }, { name: 'P. Lind', job: 'pot tender' }, { name: 'R. Calder', job: 'supervisor' }],
    setup: {
      nozzleBore: { value: 0.4375, unit: '[in_i]' }, hoseBore: { value: 1.25, unit: '[in_i]' }, hoseLength: { value: 100, unit: '[ft_i]' }, compressor: 'Unit 7, rented', respirator: 'Hood 3 with 50 ft of breathing hose',
      breathingFilter: 'changed at the start of the week', abrasive: 'Garnet 30/60, lot 2214', notes: back % 2 === 0 ? 'Gate 3, seaward face' : 'Gate 3, landward face',
    },
    calibrations: [{ point: 'breathing-air-co', certificate: 'CO-1182', done: '2026-10-02', due: '2027-04-02' }, { point: 'nozzle-pressure', certificate: 'P-0417', done: '2026-08-11', due: '2027-08-11' }],
    handovers: [{ at: iso(startMs + 3 * HOUR), by: 'R. Calder', to: 'T. Okafor', text: 'Hose whip check at the second coupling is worn, new one is on the noon van.' }],
    notes: [
      { id: `${id}-n1`, at: iso(startMs + 2.6 * HOUR), by: 'P. Lind', text: 'Gauge at the pot reads 3 high against the needle.', placedAt: iso(startMs + 2.5 * HOUR), point: null, photo: null },
      { id: `${id}-n2`, at: iso(startMs + 1.1 * HOUR), by: 'P. Lind', text: 'Sensor box lost its radio link: forklift parked before it.', placedAt: iso(startMs + 1.03 * HOUR), point: null, photo: 'photo-1' },
    ],
    corrections: back % 3 === 0 && endMs !== null ? [{ at: iso(endedMs + 0.2 * HOUR), by: 'P. Lind', of: `${id}-n1`, text: 'Reads 2 high; 3 was before zeroing.' }] : [],
    signOffs: [
      ...(signed > 0 ? [{ at: iso(endedMs + 0.4 * HOUR), name: 'R. Calder', role: 'supervisor', meaning: 'checked and complete' }] : []),
      ...(signed > 1 ? [{ at: iso(endedMs + 3 * HOUR), name: 'T. Okafor', role: 'safety-officer', meaning: 'approved' }] : []),
    ],
    seal: state === 'sealed' ? { root: '7be1f0c9a2d84e51b0337c6d9a1e55f2c4780be6d31f9a02e8c5d47716fb3a98', at: iso(endedMs + 3 * HOUR), key: 'a41c 9e07 55d2 8b13' } : null,
  };
  made.shifts.set(id, shift);
  made.entries.set(id, [
    entry(`${id}-e1`, startMs + 0.3 * HOUR, 'blotter', null, null, '', 'dry'), entry(`${id}-e2`, startMs + 0.6 * HOUR, 'needle', 96, '[psi]', '', ''), entry(`${id}-e3`, startMs + 0.8 * HOUR, 'spot', 18.5, 'Cel', 'Gate 3, lower girder', ''),
    entry(`${id}-e4`, startMs + 1.9 * HOUR, 'pot-filled', 300, 'kg', '', ''), entry(`${id}-e5`, startMs + 2.2 * HOUR, 'stopped', null, null, '', 'client'), entry(`${id}-e6`, startMs + 2.5 * HOUR, 'resumed', null, null, '', ''),
    entry(`${id}-e7`, startMs + 3.2 * HOUR, 'area-done', 21, 'm2', 'Gate 3, lower girder', ''),
  ]);
  if (endMs !== null) {
    made.headlines.set(id, {
      blastingMs: (5 + wave / 2) * HOUR, nozzleMedian: { value: Math.round((95 - worn * 4 + wave) * 10) / 10, unit: '[psi]' }, coMax: { value: back === 12 ? 14 : 3.5 + wave, unit: '[ppm]' },
      audibleAlarms: Math.max(0, Math.round(1.5 + wave * 2)), criticalAlarms: back === 12 ? 1 : 0, coverage: back === 15 ? 0.931 : 0.9962, lostProduction: Math.max(0, 0.015 + worn / 12 + wave / 100),
      boreStart: { value: 11.11 + worn, unit: 'mm' }, boreEnd: { value: 11.14 + worn, unit: 'mm' },
    });
  }
}

function entry(id: string, atMs: number, kind: string, value: number | null, unit: string | null, place: string, text: string): HandEntry {
  return { id, at: iso(atMs), by: 'P. Lind', kind, value, unit, place, text };
}

export function cardOf(shift: Shift, headline: ShiftHeadline | null): ShiftCard {
  const { id, site, rig, state, startedAt, startedBy, endedAt, endedBy, drill, replay, signOffs } = shift;
  return { id, site, rig, state, startedAt, startedBy, endedAt, endedBy, drill, replay, signOffs, headline };
}
