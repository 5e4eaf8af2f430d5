import { needPointKind } from '../../../domain/points/catalogue.ts';
import { SITE } from './fabricated-site.ts';
import type { Trace, TraceSeries } from '../../../domain/wire/trace.ts';

/** A shift's history with blasting in turns, a silent stretch and one short peak of CO. */
export function fabricatedTrace(rig: string, points: readonly string[], fromMs: number, toMs: number, widthPx: number, extraLossPsi = 0): Trace {
  const stepMs = Math.max(1000, (toMs - fromMs) / widthPx);
  return { fromMs, toMs, series: points.map((id) => fabricatedSeries(rig, id, fromMs, toMs, stepMs, extraLossPsi)) };
}

function fabricatedSeries(rig: string, id: string, fromMs: number, toMs: number, stepMs: number, extraLossPsi: number): TraceSeries {
  const atMs: number[] = [];
  const min: (number | null)[] = [];
  const max: (number | null)[] = [];
  for (let at = fromMs; at < toMs - stepMs; at += stepMs) {
    const minute = (at - fromMs) / 60_000;
    const isSilent = minute > 61 && minute < 68;
    const isBlasting = minute % 24 > 7;
    const lost = id === 'nozzle-pressure' && isBlasting ? extraLossPsi : 0;
    const [low, high] = rangeOf(id, minute, isBlasting, toMs - fromMs < 3_600_000);
    atMs.push(Math.round(at));
    min.push(isSilent ? null : low - lost);
    max.push(isSilent ? null : high - lost);
  }
  const { owner } = needPointKind(id);
  return { owner: owner === 'site' ? SITE : owner === 'compressor' ? 'comp-1' : rig, id, unit: needPointKind(id).unit, atMs, min, max, late: atMs.map(() => false), erased: [] };
}

function rangeOf(id: string, minute: number, isBlasting: boolean, isShort: boolean): [number, number] {
  const noise = Math.sin(minute * 12.9) * 1.2;
  switch (id) {
    case 'nozzle-pressure': return isBlasting ? [95 + noise, 97 + noise] : [0, 0];
    case 'supply-pressure': return isBlasting ? [104 + noise, 106 + noise] : [109, 111];
    case 'breathing-air-co': return minute > 150 && minute < 151 ? [3, 8.5] : [2.6 + noise / 4, 3.4 + noise / 4];
    case 'steel-margin': return isShort ? [4.6, 4.7] : [6.5 - minute / 120, 6.6 - minute / 120];
    case 'blasting': return isBlasting ? [1, 1] : [0, 0];
    case 'breathing-air-pressure': return [61.4 + noise / 2, 62.2 + noise / 2];
    case 'compressor-pressure': return [111 + noise, 113 + noise];
    case 'ambient-humidity': return [70 + noise / 2, 70.4 + noise / 2];
    case 'wind-speed': return [3.4 + noise / 3, 4.2 + noise / 3];
    case 'steel-temperature': return [18.4, 18.4];
    case 'ambient-temperature': return [18.1, 18.1];
    case 'ambient-dew-point': return [13.8, 13.8];
    case 'air-line-dew-point': return [2.5, 2.5];
    case 'line-atmospheric-dew-point': return [-24.1, -24.1];
    default: return [0, 0];
  }
}
