import { needPointKind } from '../../../domain/points/catalogue.ts';
import type { RecordedSeries, RecordedTrace } from '../../../dashboard/api/shifts.ts';

/** Values of a made-up shift, a second at a time, put together to the steps asked for as the server does: lowest and highest, nothing lost. */
const MINUTE = 60_000;
/** One single second of carbon monoxide. */
export const PEAK = { minute: 187.25, ppm: 400 } as const;
/** Nothing was heard, then some came late. */
export const SILENT = [62, 69] as const;
export const LATE = [69, 74] as const;

export function fabricatedShiftTrace(rig: string, points: readonly string[], startMs: number, fromMs: number, toMs: number, widthPx: number): RecordedTrace {
  const stepMs = Math.max(1000, Math.ceil((toMs - fromMs) / widthPx / 1000) * 1000);
  return { fromMs, toMs, series: points.map((id) => series(rig, id, startMs, fromMs, toMs, stepMs)) };
}

function series(rig: string, id: string, startMs: number, fromMs: number, toMs: number, stepMs: number): RecordedSeries {
  const [atMs, min, max, late]: [number[], (number | null)[], (number | null)[], boolean[]] = [[], [], [], []];
  const isOther = rig === 'rig-b';
  const isSite = needPointKind(id).owner === 'site';
  for (let at = Math.ceil(fromMs / 1000) * 1000; at < toMs; at += stepMs) {
    const minute = (at - startMs) / MINUTE;
    const isSilent = minute >= SILENT[0] && minute < SILENT[1] && !isSite;
    const wave = Math.sin(minute * 12.9) * 1.1 + (isOther ? 0.6 * Math.sin(minute / 40) : 0);
    const value = valueOf(id, isOther ? minute * 1.13 + 9 : minute, wave) * (isOther && id === 'nozzle-pressure' ? 0.93 : 1);
    const holdsPeak = id === 'breathing-air-co' && minute <= PEAK.minute && (at + stepMs - startMs) / MINUTE > PEAK.minute;
    atMs.push(at);
    min.push(isSilent ? null : round(value - spread(id)));
    max.push(isSilent ? null : holdsPeak ? PEAK.ppm : round(value + spread(id)));
    late.push(minute >= LATE[0] && minute < LATE[1] && !isSite);
  }
  return { owner: rig, id, unit: needPointKind(id).unit, atMs, min, max, late, erased: [] };
}

function valueOf(id: string, minute: number, wave: number): number {
  const isBlasting = minute > 18 && minute % 24 > 7 && !(minute > 132 && minute < 152);
  const sag = minute > 300 && minute < 340 ? 12 : 0;
  switch (id) {
    case 'nozzle-pressure': return isBlasting ? 96 + wave - sag : 0;
    case 'supply-pressure': return isBlasting ? 105 + wave - sag : 110 + wave / 2;
    case 'line-loss': return isBlasting ? 9 + wave / 2 : 0;
    case 'breathing-air-co': return 2.9 + wave / 5 + (minute > 240 && minute < 262 ? 8.5 * Math.sin(((minute - 240) / 22) * Math.PI) : 0);
    case 'breathing-air-pressure': return 62 + wave;
    case 'steel-margin': return 6.5 - 3.6 * Math.sin(minute / 190);
    case 'air-line-dew-point': return 3 + Math.sin(minute / 60) * 4;
    case 'ambient-humidity': return 68 + 15 * Math.sin(minute / 190);
    case 'blasting': return isBlasting ? 1 : 0;
    default: return 0;
  }
}

function spread(id: string): number {
  return id === 'blasting' ? 0 : id.endsWith('pressure') ? 0.9 : 0.2;
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
