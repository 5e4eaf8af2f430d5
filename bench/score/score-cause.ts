import { type Verdict, likelyCause } from '../../domain/air/likely-cause.ts';
import { segmentResiduals } from '../../domain/air/segment-residuals.ts';
import { atmosphereAt, gauge } from '../../domain/quantity/pressure.ts';
import { type Gauge, LineWatch } from './line-watch.ts';

/** A fault of the line as it really was, and the answers that would name it rightly. */
export interface CauseCase {
  readonly truth: string;
  readonly scenario: string;
  readonly rigs: number;
  /** Stretch in which the fault is there in full, seconds from going live. */
  readonly fromS: number;
  readonly untilS: number;
  readonly right: readonly string[];
}

/** `beforeS` is 1200 for all: the twenty minutes in which the line is well and its baseline is taken. */
const BEFORE_S = 1200;

export const CAUSE_CASES: readonly CauseCase[] = [
  { truth: 'nothing', scenario: 'quiet', rigs: 2, fromS: 0, untilS: 1200, right: ['as expected'] },
  { truth: 'kinked blast hose', scenario: 'kinked-hose', rigs: 2, fromS: 0, untilS: 1200, right: ['restriction, machine and blast hose'] },
  { truth: 'rich mix', scenario: 'rich-mix', rigs: 2, fromS: 0, untilS: 1500, right: ['restriction, machine and blast hose'] },
  { truth: 'separator clogged', scenario: 'clogged-separator', rigs: 2, fromS: 2400, untilS: 3600, right: ['restriction, separator'] },
  { truth: 'worn nozzle', scenario: 'worn-nozzle', rigs: 1, fromS: 21_600, untilS: 22_800, right: ['more flow'] },
  { truth: 'pot run empty', scenario: 'pot-empty', rigs: 1, fromS: 2400, untilS: 3600, right: ['less abrasive'] },
  { truth: 'nozzle gauge drifting', scenario: 'gauge-drifting', rigs: 2, fromS: 6000, untilS: 7200, right: ['gauge'] },
  { truth: 'compressor too small', scenario: 'compressor-small', rigs: 2, fromS: 60, untilS: 240, right: ['capacity'] },
];

/** Columns of the confusion matrix, in words. */
export const CAUSE_ANSWERS: readonly string[] = ['as expected', 'restriction, machine and blast hose', 'restriction, separator', 'more flow', 'less flow', 'less abrasive', 'leak', 'gauge', 'capacity', 'can’t tell'];

const PSI = 6894.757293168361;
const GAUGE_SE = 0.1 * PSI;
/** Of a loss that was measured in the baseline: clean air keeps to its law, the mix in the blast hose wanders. */
const CLEAN_DRIFT = 0.04;
const MIX_DRIFT = 0.06;
/** A compressor's pressure goes up and down within its band. */
const SOURCE_SE = 2.5 * PSI;

/**
 * What the pattern of losses from gauge to gauge says of a stretch, against what the same gauges showed while the line was well: losses
 * grow with the pressure at the source. Null where nobody blasted for a minute.
 */
export function nameCause({ scenario, rigs, fromS, untilS }: CauseCase, seed: number): string | null {
  const watch = new LineWatch({ scenario, seed, rigs, beforeS: BEFORE_S, afterS: untilS });
  watch.runTo(untilS);
  const well = watch.medians(-BEFORE_S, 0);
  const now = watch.medians(fromS, untilS);
  return well && now ? sayVerdict(judge(well, now)) : null;
}

type Shown = Readonly<Record<Gauge, number>>;

function judge(well: Shown, now: Shown): Verdict {
  const atmosphere = atmosphereAt(100);
  const grown = (now.compressor * PSI + atmosphere) / (well.compressor * PSI + atmosphere);
  const loss = (from: Gauge, to: Gauge): number => (well[from] - well[to]) * PSI * grown;
  const source = now.compressor * PSI;
  const place = (name: string, part: 'separator' | 'machine-and-blast-hose', from: Gauge, to: Gauge, lostBefore: number) => ({
    part,
    measured: gauge(now[to] * PSI),
    place: { name, pressure: gauge(source - lostBefore - loss(from, to)), standardError: 0, loss: loss(from, to), lossStandardError: (part === 'separator' ? CLEAN_DRIFT : MIX_DRIFT) * Math.abs(loss(from, to)) },
  });
  const ahead = place('machine', 'separator', 'compressor', 'supply', 0);
  const behind = place('nozzle', 'machine-and-blast-hose', 'supply', 'nozzle', ahead.place.loss);
  const segments = segmentResiduals(gauge(source), [ahead, behind], GAUGE_SE);
  return likelyCause(segments, {
    nozzle: { measured: behind.measured, expected: behind.place.pressure },
    atmosphere,
    source: { measured: gauge(source), expected: gauge(well.compressor * PSI), standardError: SOURCE_SE },
  });
}

function sayVerdict(found: Verdict): string {
  if (found.verdict === 'as-expected') return 'as expected';
  if (found.verdict === 'cant-tell') return 'can’t tell';
  const { cause, part } = found.explanation;
  return cause === 'restriction' && part ? `restriction, ${part.replaceAll('-', ' ')}` : cause.replaceAll('-', ' ');
}
