import type { COMPRESSOR_EFFECTS, RIG_EFFECTS, SITE_EFFECTS } from '../rig/effects.ts';
import type { WorkHabits } from '../rig/blaster.ts';

/** When something of the script happens, in seconds. */
interface Timing {
  /** Counted from the start, or from the moment the site goes live. */
  readonly since: 'start' | 'live';
  readonly at: number;
  /** Left out: to the end. */
  readonly lasts?: number;
  /** Time to come fully and to go again; left out: at once. */
  readonly ramp?: number;
}

/** One line of a script: what goes wrong, where, when, and how far. `cause` names it in the truth; without, it is staging. */
export type ScriptLine = Timing & { readonly cause?: string; readonly size: number } & (
    | { readonly effect: keyof typeof RIG_EFFECTS; readonly on: `rig-${string}` }
    | { readonly effect: keyof typeof COMPRESSOR_EFFECTS; readonly on: `comp-${string}` }
    | { readonly effect: keyof typeof SITE_EFFECTS; readonly on: 'site' }
    | { readonly effect: SensorEffect; readonly on: `${string}/${string}` }
  );

/**
 * Faults of a sensor (`rig-a/breathing-air-co`): stuck (1), offset (in its unit), scale (share by which it reads high: −0.931 is bar
 * where psi is expected), its 4-20 mA loop broken (loopOpen 1), shorted (loopShort 1) or drifting (loopDriftMa).
 * Of a device (`rig-a/line`): silent (1), clock off by so many seconds (clockOffS) or counting from 1970 after a restart (clockUnset 1),
 * network cut (1: keeps its messages and sends them when the link is back).
 */
export type SensorEffect = 'stuck' | 'offset' | 'scale' | 'loopOpen' | 'loopShort' | 'loopDriftMa' | 'silent' | 'clockOffS' | 'clockUnset' | 'networkCut';

/** One site as its people would describe it: quantities written with their unit, as in site.yaml. */
export interface SiteSheet {
  readonly id: string;
  readonly name: string;
  readonly zone: string;
  readonly elevation: string;
}

export interface CompressorSheet {
  readonly ratedFlow: string;
  readonly ratedPressure: string;
  readonly setPressure: string;
  readonly band: string;
  readonly sump: string;
  readonly receiver: string;
  readonly intakeBearing: string;
}

export interface RigSheet {
  readonly vessel: { readonly ratedPressure: string; readonly volume: string };
  readonly supplyHose: { readonly bore: string; readonly length: string };
  readonly blastHose: { readonly bore: string; readonly length: string };
  readonly nozzle: string;
  readonly wanted: string;
  /** Abrasive at 100 psi, trimmed. */
  readonly abrasive: string;
  readonly breathing: string;
  /** Share of carbon monoxide the breathing filter takes out. */
  readonly catalyst: number;
  readonly work: WorkHabits;
}

/** What a rig's own plate says, where it is not the scenario's. */
export type RigPlate = Partial<Pick<RigSheet, 'vessel' | 'blastHose' | 'nozzle'>>;

export interface WeatherSheet {
  readonly hourAtStart: number;
  readonly mean: number;
  readonly swing: number;
  readonly dewPoint: number;
  readonly windFrom: number;
  readonly windSpeed: number;
  readonly steel: { readonly lagH: number; readonly sunlit: number; readonly nightSky: number; readonly startsAbove: number };
}

/** A shift worth watching, as data. */
export interface Scenario {
  readonly name: string;
  readonly summary: string;
  readonly site: SiteSheet;
  readonly weather: WeatherSheet;
  readonly compressor: CompressorSheet;
  readonly rig: RigSheet;
  /** Where one rig differs. */
  readonly rigs?: { readonly [id: `rig-${string}`]: Partial<RigSheet> };
  /** Changes to the alarm table, as in site.yaml. */
  readonly alarms?: { readonly [alarm: string]: { readonly [setting: string]: string } };
  /** A date on which it is meant to be run, RFC 3339, where the date matters. */
  readonly meantFor?: string;
  readonly script: readonly ScriptLine[];
}
