import { type StateTest, type View, tenth, usable } from '../view.ts';

/** psi by which a residual must fall below its limit before the alarm goes. */
const BAND = 1;

/** Loss beyond what is expected, less what the line showed when the needle was read. */
function residual(view: View): number | null {
  const now = usable(view.see('line-loss-residual'));
  const { baseline } = view.situation;
  return now === null || baseline === null ? null : tenth(now - baseline.residual);
}

/** More lost than at the last needle reading, by over `limit` psi. */
export const lineLossOff: StateTest = (view) => {
  const off = residual(view);
  view.value = off;
  if (off === null || view.limit === null) return 'hold';
  return off > view.limit ? 'alarm' : off <= view.limit - BAND ? 'clear' : 'hold';
};

/** Without abrasive the hose loses less: the nozzle rises by `limit` against the last needle reading. */
export const abrasiveStopped: StateTest = (view) => {
  const off = residual(view);
  view.value = off === null ? null : tenth(-off);
  if (off === null || view.limit === null) return 'hold';
  return -off >= view.limit ? 'alarm' : -off < view.limit - BAND ? 'clear' : 'hold';
};

/** Loss before the blast machine over that at the last needle reading, brought to the same flow: losses go with its square. */
export const separatorLoss: StateTest = (view) => {
  const loss = usable(view.see('supply-loss'));
  const flow = usable(view.see('nozzle-air-flow'));
  const { baseline } = view.situation;
  if (loss === null || flow === null || flow <= 0 || view.limit === null || baseline === null || baseline.supplyLoss === null || !baseline.flow) return 'hold';
  const over = tenth(loss - baseline.supplyLoss * (flow / baseline.flow) ** 2);
  view.value = over;
  return over > view.limit ? 'alarm' : over <= view.limit - BAND ? 'clear' : 'hold';
};

/** Measured air over that which the bore on the sheet would pass, against the same when the nozzle was gauged; in %. */
export const nozzleWorn: StateTest = (view) => {
  const { baseline } = view.situation;
  const ratio = flowRatio(view);
  if (ratio === null || view.limit === null || baseline === null || !baseline.flowRatio) return 'hold';
  const more = tenth((ratio / baseline.flowRatio - 1) * 100);
  view.value = more;
  return more >= view.limit ? 'alarm' : more < view.limit - 3 ? 'clear' : 'hold';
};

export function flowRatio(view: Pick<View, 'see'>): number | null {
  const measured = usable(view.see('air-flow'));
  const computed = usable(view.see('nozzle-air-flow'));
  return measured === null || computed === null || computed <= 0 ? null : measured / computed;
}

/** Air after the separator warmer than outside by `limit` °C: it goes on cooling in the hose, and rains. */
export const lineWet: StateTest = (view) => {
  const separator = usable(view.see('separator-temperature'));
  const ambient = usable(view.see('ambient-temperature'));
  if (separator === null || ambient === null || view.limit === null) return 'hold';
  const over = tenth(separator - ambient);
  view.value = over;
  return over > view.limit ? 'alarm' : over <= view.limit - 1 ? 'clear' : 'hold';
};

/** At or below `limit` °C with a pressure dew point above the hose. */
export const freezing: StateTest = (view) => {
  const ambient = usable(view.see('ambient-temperature'));
  const margin = usable(view.see('hose-condensation-margin'));
  view.value = ambient;
  if (ambient === null || margin === null || view.limit === null) return 'hold';
  if (ambient <= view.limit && margin < 0) return 'alarm';
  return ambient > view.limit + 1 || margin > 1 ? 'clear' : 'hold';
};
