import { abrasiveRate } from '../../air/pot-endurance.ts';
import { nozzleMassFlow } from '../../air/nozzle-flow.ts';
import { standardVolumeFlow } from '../../air/standard-air.ts';
import { pointToSi } from '../../points/point-unit.ts';
import { type AbsolutePressure, gauge } from '../../quantity/pressure.ts';
import type { Figure } from '../headline.ts';
import type { ShiftItem } from '../shift.ts';
import { type Series, type Stretch, held } from './series.ts';

export interface Consumption {
  /** Free air through the nozzle, from its bore and pressure; null where either is unknown. */
  readonly air: Figure | null;
  /** What the charts' ratio makes of that air. */
  readonly abrasiveEstimate: { readonly low: number; readonly high: number; readonly unit: string } | null;
  /** What was told as filled; fillings without a weight count, but add none. */
  readonly filled: Figure | null;
  readonly fillings: number;
  readonly lots: readonly string[];
  readonly area: Figure | null;
  readonly areas: readonly { readonly place: string; readonly area: Figure }[];
  /** Time stopped by reason; a stop that was not ended goes on to the next, or to the end of the shift. */
  readonly stops: readonly { readonly reason: string; readonly time: Figure; readonly count: number }[];
}

/** What was used and done. `bore` in metres. */
export function consumptionOn(items: readonly ShiftItem[], nozzle: Series | undefined, bursts: readonly Stretch[], bore: number | null, shift: Stretch, atmosphere: AbsolutePressure): Consumption {
  const entries = items.filter((item) => item.kind === 'entry');
  const fillings = entries.filter(({ entry }) => entry === 'pot-filled');
  const weights = fillings.flatMap(({ value }) => (value === null ? [] : [value]));
  const areas = entries.flatMap(({ entry, value, place }) => (entry === 'area-done' && value !== null ? [{ place, area: { value, unit: 'm2' } }] : []));
  const used = nozzle && bore !== null ? airUsed(nozzle, bursts, bore, atmosphere) : null;
  const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
  return {
    air: used && { value: Math.round(used.volume), unit: 'm3' },
    abrasiveEstimate: used && { low: Math.round(used.abrasive.low), high: Math.round(used.abrasive.high), unit: 'kg' },
    filled: weights.length === 0 ? null : { value: sum(weights), unit: 'kg' },
    fillings: fillings.length,
    lots: entries.flatMap(({ entry, text }) => (entry === 'abrasive-lot' ? [text] : [])),
    area: areas.length === 0 ? null : { value: Math.round(sum(areas.map(({ area }) => area.value)) * 10) / 10, unit: 'm2' },
    areas,
    stops: stopsOf(items, shift),
  };
}

function airUsed(nozzle: Series, bursts: readonly Stretch[], bore: number, atmosphere: AbsolutePressure): { volume: number; abrasive: { low: number; high: number } } {
  const used = { volume: 0, abrasive: { low: 0, high: 0 } };
  for (const burst of bursts) {
    for (const { fromMs, toMs, value } of held(nozzle, burst)) {
      if (value === null || value <= 0) continue;
      const massFlow = nozzleMassFlow({ bore, pressure: gauge(pointToSi('nozzle-pressure', value)), atmosphere });
      const seconds = (toMs - fromMs) / 1000;
      const rate = abrasiveRate(massFlow);
      used.volume += standardVolumeFlow(massFlow) * seconds;
      used.abrasive.low += rate.low * seconds;
      used.abrasive.high += rate.high * seconds;
    }
  }
  return used;
}

function stopsOf(items: readonly ShiftItem[], shift: Stretch): Consumption['stops'] {
  const byReason = new Map<string, { ms: number; count: number }>();
  let open: { reason: string; atMs: number } | null = null;
  const end = (atMs: number): void => {
    if (!open) return;
    const known = byReason.get(open.reason) ?? { ms: 0, count: 0 };
    byReason.set(open.reason, { ms: known.ms + Math.max(0, atMs - open.atMs), count: known.count + 1 });
    open = null;
  };
  for (const item of items) {
    if (item.kind !== 'entry' || (item.entry !== 'stopped' && item.entry !== 'resumed')) continue;
    end(item.atMs);
    if (item.entry === 'stopped') open = { reason: item.text.trim(), atMs: item.atMs };
  }
  end(shift.toMs);
  return [...byReason].sort(([, a], [, b]) => b.ms - a.ms).map(([reason, { ms, count }]) => ({ reason, time: { value: ms / 60_000, unit: 'min' }, count }));
}
