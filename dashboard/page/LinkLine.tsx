import { formatAge } from '../format/age.ts';
import { useSeat } from '../hooks/desk-context.ts';
import type { LinkState } from '../link/link-state.ts';

/** The quiet word while all is well: live, and how old the oldest reading is. Nothing where there is no site yet: then nothing is listened to. */
export function LinkLine({ link }: { link: LinkState | null }) {
  const { words } = useSeat();
  if (link === null) return <p className="bar__link" data-testid="link-state" />;
  if (link.state !== 'live') return <p className="bar__link" data-testid="link-state" data-state={link.state} />;
  const rest = [
    link.silentSensors > 0 ? words.link.silentSensors(link.silentSensors) : null,
    link.oldestMs === null ? null : words.link.liveOldest(formatAge(link.oldestMs, words)),
  ].filter((part) => part !== null);
  return (
    <p className="bar__link" data-testid="link-state" data-state="live" data-silent={link.silentSensors || undefined}>
      <strong>{words.link.live}</strong>
      {rest.length > 0 ? `, ${rest.join(', ')}` : ''}
    </p>
  );
}
