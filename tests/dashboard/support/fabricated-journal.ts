import type { JournalEntry } from '../../../dashboard/api/read-journal.ts';
import type { AlarmMetrics } from '../../../dashboard/api/read-alarm-metrics.ts';

/** A journal of a day and a half, newest first. */
export function fabricatedJournal(nowMs: number): JournalEntry[] {
  const entries: JournalEntry[] = [];
  const put = (minutesAgo: number, kind: string, rig: string | null, text: string, detail: Record<string, unknown> = {}): void =>
    void entries.push({ id: `j${entries.length}`, at: new Date(nowMs - minutesAgo * 60_000).toISOString(), kind, rig, text, detail });
  for (let n = 0; n < 44; n++) {
    const rig = n % 3 === 0 ? 'rig-b' : 'rig-a';
    const at = 2 + n * 47;
    const co = n % 11 === 4;
    const name = co ? 'co-high' : n % 4 === 1 ? 'supply-pressure-low' : 'nozzle-pressure-low';
    const title = co ? 'Carbon monoxide high in the breathing air' : n % 4 === 1 ? 'Supply pressure low' : 'Nozzle pressure low';
    const detail = { name, title, priority: co ? 'critical' : 'medium', alarm: co ? 'c1' : `a${n}` };
    put(at, 'alarm', rig, `${title}: back to normal`, { ...detail, to: 'normal' });
    put(at + 3, 'action', rig, 'acknowledge by R. Calder', detail);
    put(at + 4, 'alarm', rig, `${title}: raised: ${co ? '12 ppm, limit 10' : '81.2 psi, limit 85'}`, { ...detail, to: 'unacknowledged' });
    if (n === 20) put(at + 6, 'config', null, 'Configuration 8c1f2a77b0de in force');
  }
  return entries;
}

/** Ten-minute counts with one flood in them. */
export function fabricatedMetrics(fromMs: number, toMs: number): AlarmMetrics {
  const windows = Array.from({ length: Math.floor((toMs - fromMs) / 600_000) }, (_, i) => ({ fromMs: fromMs + i * 600_000, count: i % 97 === 71 ? 19 : i % 97 === 72 ? 11 : i % 7 === 3 ? 2 : i % 5 === 0 ? 1 : 0 }));
  const total = windows.reduce((sum, w) => sum + w.count, 0);
  const titles = ['Nozzle pressure low', 'Line air wet', 'Supply pressure low', 'Line loses more than expected', 'Humidity high', 'Steel close to the dew point', 'Compressor hot', 'Sensor lost', 'Carbon monoxide high in the breathing air', 'Blotter test due'];
  const weights = [31, 19, 13, 9, 7, 6, 5, 3, 2, 1];
  const counts = weights.map((w) => Math.round((total * w) / 100));
  const peak = windows.reduce((a, b) => (b.count > a.count ? b : a), windows[0] ?? { fromMs, count: 0 });
  return {
    windows, total, meanPerWindow: total / Math.max(1, windows.length), peak, floodShare: 0.0097, floodFrom: 10,
    priorities: { critical: Math.round(total * 0.02), high: Math.round(total * 0.06), medium: Math.round(total * 0.21), low: Math.round(total * 0.71) },
    medianToAcknowledgeMs: 74_000,
    top: titles.map((title, i) => ({ name: `t${i}`, title, count: counts[i] as number, share: (counts[i] as number) / Math.max(1, total) })),
    chattering: [{ name: 'nozzle-pressure-low', title: 'Nozzle pressure low', count: 14 }], stale: [],
  };
}
