import type { ShiftSummary, SummaryAlarm } from '../../../dashboard/api/summary.ts';
import type { Shift } from '../../../dashboard/api/shift-shapes.ts';
import { SILENT } from './fabricated-shift-trace.ts';

const MINUTE = 60_000;

/** A summary of a shift that had a bit of everything. */
export function fabricatedSummary(shift: Shift, nowMs: number): ShiftSummary {
  const startMs = Date.parse(shift.startedAt);
  const endMs = shift.endedAt === null ? nowMs : Date.parse(shift.endedAt);
  const at = (minute: number): string => new Date(startMs + minute * MINUTE).toISOString();
  const span = (from: number, to: number) => ({ from: at(from), to: at(to) });
  const lost = { ...span(...SILENT), cause: 'nothing was heard from the site' };
  const minutes = (value: number) => ({ value, unit: 'min' });
  const hours = (value: number) => ({ value, unit: 'h' });
  const ppm = (value: number) => ({ value, unit: '[ppm]' });
  const psi = (value: number) => ({ value, unit: '[psi]' });
  const alarm = (id: string, name: string, title: string, priority: SummaryAlarm['priority'], from: number, to: number | null, by: string | null): SummaryAlarm => ({
    id, name, title, owner: shift.rig, priority, raisedAt: at(from), clearedAt: to === null ? null : at(to), acknowledgedAt: by === null ? null : at(from + 0.4), acknowledgedBy: by, outConfirmedAt: priority === 'critical' ? at(from + 1.6) : null, stoodBefore: false, audible: priority !== 'low',
  });
  return {
    from: shift.startedAt, to: new Date(endMs).toISOString(),
    coverage: [
      { owner: shift.rig, point: 'nozzle-pressure', fraction: 0.961, gaps: [lost, { ...span(201, 213), cause: 'sensor silent' }] },
      { owner: shift.rig, point: 'breathing-air-co', fraction: 0.9857, gaps: [lost] },
      { owner: shift.rig, point: 'air-line-dew-point', fraction: 0.9312, gaps: [lost, ...[20, 90, 130, 170, 210, 280].map((m) => ({ ...span(m, m + 4), cause: 'sensor: out-of-range' }))] },
      { owner: shift.site, point: 'ambient-temperature', fraction: 1, gaps: [] }, { owner: shift.site, point: 'ambient-humidity', fraction: 1, gaps: [] },
    ],
    work: { blasting: hours(5.23), cycles: { value: 34, unit: '{count}' }, cyclesFrom: 'handle', longestBurst: minutes(21.6) },
    nozzle: {
      lowest: psi(71.3), p5: psi(84.2), median: psi(95.6), mean: psi(94.8), p95: psi(98.1), highest: psi(101.2),
      distribution: [[70, 0.004], [75, 0.011], [80, 0.052], [85, 0.081], [90, 0.228], [95, 0.611], [100, 0.013]].map(([from = 0, share = 0]) => ({ from, to: from + 5, share })),
      wanted: { low: 90, high: 105, inBand: 0.852, below: 0.148, above: 0 }, lostProduction: 0.021, reference: psi(90),
    },
    people: [{ name: 'J. Ortega', underHood: [span(20, 128), span(155, 290)], time: hours(4.05), measured: 0.971, highest: ppm(11.4), highest5min: ppm(10.1), highest15min: ppm(8.2), average8h: ppm(1.9), average8hAtLeast: ppm(1.8), average8hAtMost: ppm(2.3), carboxyhaemoglobin: { value: 1.32, unit: '%' } }],
    coMax: ppm(400),
    moisture: [{ point: 'hose-condensation-margin', says: 'no water falls out in the hose', limit: { value: 0, unit: 'Cel' }, met: minutes(462), missed: minutes(0), unknown: minutes(28), worst: { value: 4.1, unit: 'Cel' }, windows: [], source: 'by definition of the pressure dew point' }],
    climate: [{ point: 'steel-margin', says: 'steel above dew point', limit: { value: 3, unit: 'Cel' }, met: minutes(434), missed: minutes(49), unknown: minutes(7), worst: { value: 2.9, unit: 'Cel' }, windows: [span(281, 330)], source: 'common practice, no source' }],
    wear: { start: { value: 11.11, unit: 'mm' }, end: null, estimate: { value: 0.21, low: -0.4, high: 0.83, unit: 'mm' }, limit: { value: 1.6, unit: 'mm' }, isChanged: false },
    used: { air: { value: 1830, unit: 'm3' }, abrasiveEstimate: { low: 1290, high: 2400, unit: 'kg' }, filled: { value: 1800, unit: 'kg' }, fillings: 6, lots: ['2214'], area: { value: 84.5, unit: 'm2' }, stops: [{ reason: 'client', time: minutes(18), count: 1 }, { reason: 'weather', time: minutes(12), count: 2 }] },
    alarms: {
      occurrences: [
        alarm('a1', 'nozzle-pressure-low', 'Nozzle pressure low', 'medium', 301, 338, 'casey'), alarm('a2', 'co-high', 'Carbon monoxide high in the breathing air', 'critical', 247, 255, 'P. Lind'),
        alarm('a3', 'sensor-lost', 'Sensor lost', 'low', 63, 69, null), alarm('a4', 'steel-margin', 'Steel close to the dew point', 'medium', 285, 330, 'R. Calder'), alarm('a5', 'co-rising', 'Carbon monoxide rising', 'medium', 243, 256, 'P. Lind'),
        alarm('a6', 'supply-low-while-triggered', 'Supply pressure low with the trigger held', 'high', 302, 309, 'casey'),
      ],
      audible: 5, byPriority: { critical: 1, high: 1, medium: 3, low: 1 },
      response: { medianToAcknowledge: { value: 24, unit: 's' }, slowestToAcknowledge: { value: 95, unit: 's' }, slowestToOut: { value: 96, unit: 's' }, neverAcknowledged: 0 },
    },
    assumptions: ['Pressures are gauge. A value holds until the next one, at most as long as its point may be silent.', 'Air is computed from the nozzle’s bore and pressure; abrasive from that air by the charts’ ratio, ±30 %.'],
  };
}
