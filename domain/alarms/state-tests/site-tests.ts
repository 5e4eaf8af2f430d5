import { type AlarmPath, dueAgainAtMs, type EntryKind } from '../situation.ts';
import { type StateTest, type View, tenth, usable } from '../view.ts';

/** The exhaust may reach the intake, and carbon monoxide of `limit` ppm or more is seen at a rig of this compressor. */
export const plumeWithCo: StateTest = (view) => {
  const plume = usable(view.see('intake-in-plume'));
  const values = view.rigs.map(({ see }) => usable(see('breathing-air-co'))).filter((ppm) => ppm !== null);
  if (plume === null || values.length === 0 || view.limit === null) return 'hold';
  const worst = Math.max(...values);
  view.value = worst;
  return plume === 1 && worst >= view.limit ? 'alarm' : plume === 0 || worst < view.limit - 0.5 ? 'clear' : 'hold';
};

/**
 * Something is due when its record says so, else `limit` hours after it was last done. Never done: due from the start of the shift where `fromStart`, else it can't
 * be told. A shift's own work does not count from the day before.
 */
function due(kind: EntryKind, options: { readonly fromStart: boolean; readonly everyShift: boolean }): StateTest {
  return (view: View) => {
    const { shiftSinceMs, entries } = view.situation;
    const entry = entries[kind];
    const isOld = options.everyShift && entry !== undefined && shiftSinceMs !== null && entry.atMs < shiftSinceMs;
    if (view.limit === null || shiftSinceMs === null) return 'hold';
    if (entry === undefined || isOld) return options.fromStart ? 'alarm' : 'hold';
    const dueAtMs = dueAgainAtMs(entry, view.limit);
    view.value = tenth((view.atMs - entry.atMs) / 3_600_000);
    if (view.atMs >= dueAtMs) return 'alarm';
    view.againAtMs = dueAtMs;
    return 'clear';
  };
}

export const bumpDue = due('bump-done', { fromStart: true, everyShift: false });
export const calibrationDue = due('calibration-done', { fromStart: false, everyShift: false });
export const filterDue = due('filter-changed', { fromStart: false, everyShift: false });
export const blotterDue = due('blotter', { fromStart: true, everyShift: true });
export const spotDue = due('spot', { fromStart: false, everyShift: true });

const JUMP_TOLD_MS = 60_000;

/** The wall clock was more than `limit` s off; told for a minute, so that somebody looks. */
export const clockOff: StateTest = (view) => {
  const jump = view.site.clockJump;
  if (jump === null || view.limit === null) return 'clear';
  view.value = tenth(Math.abs(jump.ms) / 1000);
  const untilMs = jump.atMs + JUMP_TOLD_MS;
  if (Math.abs(jump.ms) <= view.limit * 1000 || view.atMs >= untilMs) return 'clear';
  view.againAtMs = untilMs;
  return 'alarm';
};

/** How long after the last failure it is told that not everything is judged. */
const NOT_JUDGED_TOLD_MS = 600_000;

/** Something made the evaluation fail: that one thing was set aside, and is not watched while it fails. */
export const notJudged: StateTest = (view) => {
  const { notJudged: failed } = view.site;
  if (failed === null || view.atMs >= failed.atMs + NOT_JUDGED_TOLD_MS) return 'clear';
  view.againAtMs = failed.atMs + NOT_JUDGED_TOLD_MS;
  return 'alarm';
};

function dead(path: AlarmPath): StateTest {
  return (view) => (view.site.deadPaths[path] ? 'alarm' : 'clear');
}

export const outboxFull = dead('outbox');
export const certificateEnding = dead('certificate');
export const readingsSetAside = dead('set-aside');
export const beaconDead = dead('beacon');
export const notRecording = dead('recording');
export const nobodyTold = dead('telling');
