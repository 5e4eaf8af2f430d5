import type { LiveAlarm, LiveSite } from '../../domain/wire/live.ts';

/** The rig or compressor an alarm belongs to, by the name people use; `site` for the site's own. */
export function whereOf(alarm: Pick<LiveAlarm, 'owner' | 'rig'>, site: LiveSite, siteWord: string): string {
  return site.rigs.find((rig) => rig.id === alarm.rig)?.name ?? site.compressors.find((c) => c.id === alarm.owner)?.name ?? siteWord;
}
