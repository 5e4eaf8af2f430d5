import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';

/** The IANA zone in which this person reads a recorded shift. */
export function useZone(siteZone: string): string {
  const { desk } = useSeat();
  const { zone } = useStore(desk.preferences);
  if (zone === 'site') return siteZone;
  return zone === 'utc' ? 'UTC' : Intl.DateTimeFormat().resolvedOptions().timeZone;
}
