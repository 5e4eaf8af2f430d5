/** A sensor looked at against something known: a calibration by its certificate, or a bump test with a known gas. */
interface Checked {
  readonly point: string;
  /** Unix ms; may lie before the telling. */
  readonly doneAtMs: number;
  /** When it was told, and by whom; `doneBy` is who did it. */
  readonly toldAtMs: number;
  readonly toldBy: string;
  readonly doneBy: string;
  readonly note: string;
}

/** Values are in the point's default unit and on its grid; null where not told. */
export interface CalibrationRecord extends Checked {
  readonly kind: 'calibration';
  readonly certificate: string;
  readonly dueAtMs: number;
  readonly asFound: number | null;
  readonly asLeft: number | null;
}

export interface BumpTestRecord extends Checked {
  readonly kind: 'bump-test';
  /** The bottle's concentration. */
  readonly gas: number;
  readonly isPassed: boolean;
}

export type SensorCheck = CalibrationRecord | BumpTestRecord;

/** A value as somebody wrote it; `unit` by its UCUM code. */
interface WrittenValue {
  readonly value: number;
  readonly unit: string;
}

/** What somebody tells of a sensor that was checked. `text` is the note. */
export type SensorCheckAction =
  | { readonly kind: 'record-calibration'; readonly rig: string; readonly point: string; readonly certificate: string; readonly doneBy: string; readonly doneAtMs: number; readonly dueAtMs: number; readonly asFound: WrittenValue | null; readonly asLeft: WrittenValue | null; readonly text: string }
  | { readonly kind: 'record-bump-test'; readonly rig: string; readonly point: string; readonly gas: WrittenValue; readonly isPassed: boolean; readonly doneBy: string; readonly doneAtMs: number; readonly text: string };

export function isSensorCheck<A extends { readonly kind: string }>(action: A): action is Extract<A, { readonly kind: SensorCheckAction['kind'] }> {
  return action.kind === 'record-calibration' || action.kind === 'record-bump-test';
}
