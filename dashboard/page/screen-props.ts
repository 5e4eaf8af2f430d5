import type { LiveAlarm, LiveFlood, LiveSite } from '../../domain/wire/live.ts';

/** What a screen is given of the site it shows. */
export interface ScreenProps {
  readonly site: LiveSite;
  /** All of this site, set aside or not. */
  readonly alarms: readonly LiveAlarm[];
  readonly flood: LiveFlood | null;
  readonly isLive: boolean;
}
