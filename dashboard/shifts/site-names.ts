import type { LiveRig, LiveSite } from '../../domain/wire/live.ts';

/** A shift outlives its rig's place in the configuration: then its ids stand for the names. */
export interface ShiftWhere {
  readonly site: LiveSite | undefined;
  readonly rig: LiveRig | undefined;
  readonly siteName: string;
  readonly rigName: string;
  /** IANA zone of the site; UTC where the site is no longer known. */
  readonly zone: string;
}

export function whereOfShift(shift: { readonly site: string; readonly rig: string }, sites: readonly LiveSite[]): ShiftWhere {
  const site = sites.find((one) => one.id === shift.site);
  const rig = site?.rigs.find((one) => one.id === shift.rig);
  return { site, rig, siteName: site?.name ?? shift.site, rigName: rig?.name ?? shift.rig, zone: site?.zone ?? 'UTC' };
}
