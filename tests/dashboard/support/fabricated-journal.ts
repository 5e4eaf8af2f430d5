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
  // Fourteen within ten minutes: a flood.
  for (let n = 0; n < 14; n++) put(305 + n / 2, 'alarm', 'rig-b', 'Line air wet: raised', { name: 'line-wet', title: 'Line air wet', priority: 'medium', alarm: `w${n}`, to: 'unacknowledged' });
  return entries.sort((a, b) => b.at.localeCompare(a.at));
}

/** Figures of a period with one flood in it. */
export function fabricatedMetrics(fromMs: number, toMs: number): AlarmMetrics {
  const names = ['nozzle-pressure-low', 'line-wet', 'supply-pressure-low', 'line-loss-off', 'humidity', 'steel-margin', 'compressor-hot', 'sensor-lost', 'co-high', 'blotter-due'];
  const counts = [31, 19, 13, 9, 7, 6, 5, 3, 2, 1];
  return {
    from: new Date(fromMs).toISOString(), to: new Date(toMs).toISOString(), annunciated: 97, perTenMin: 0.674, peakTenMin: 19, floods: 1, inFlood: 0.0097,
    byPriority: { critical: 2, high: 6, medium: 20, low: 69 }, topTenShare: 0.99, medianToAcknowledgeMs: 74_000,
    mostFrequent: names.map((name, i) => ({ name, owner: name === 'humidity' ? 'quay-4' : i % 3 === 1 ? 'rig-b' : 'rig-a', count: counts[i] as number })),
    chattering: [{ name: 'nozzle-pressure-low', owner: 'rig-a', activations: 14 }], stale: [],
  };
}
