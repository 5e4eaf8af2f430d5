import type { AlarmMetrics } from '../../api/read-alarm-metrics.ts';
import { formatAge } from '../../format/age.ts';
import { roundHonestly } from '../../format/round-honestly.ts';
import { formatNumber } from '../../format/units.ts';
import { useSeat } from '../../hooks/desk-context.ts';

/** The few figures an alarm system is judged by, each beside what is aimed at. */
export function MetricsFigures({ metrics }: { metrics: AlarmMetrics }) {
  const { words } = useSeat();
  const figures: readonly { readonly label: string; readonly value: string; readonly note: string }[] = [
    { label: words.metrics.mean, value: below(metrics.perTenMin, 2), note: words.metrics.aim('< 1') },
    { label: words.metrics.peak, value: String(metrics.peakTenMin), note: words.metrics.aim('≤ 10') },
    { label: words.metrics.inFlood, value: `${below(metrics.inFlood * 100, 1)} %`, note: `${words.metrics.floods(metrics.floods)}, ${words.metrics.aim('< 1 %')}` },
    { label: words.metrics.timeToTake, value: metrics.medianToAcknowledgeMs === null ? words.noValue : formatAge(metrics.medianToAcknowledgeMs, words), note: words.metrics.median },
    { label: words.metrics.chattering, value: String(metrics.chattering.length), note: words.metrics.aim('0') },
    { label: words.metrics.stale, value: String(metrics.stale.length), note: words.metrics.aim('< 5') },
  ];
  return (
    <dl className="figures" data-testid="figures">
      {figures.map((figure) => (
        <div key={figure.label}>
          <dt>{figure.label}</dt>
          <dd>{figure.value}</dd>
          <dd className="figures__note">{figure.note}</dd>
        </div>
      ))}
    </dl>
  );
}

/** Both are to stay below 1, and rounding may not say that they don't, nor that they do. */
function below(value: number, decimals: number): string {
  const shown = roundHonestly({ value, limits: [{ limit: 1, side: 'high' }] }, decimals);
  return formatNumber(shown.value, shown.decimals);
}
