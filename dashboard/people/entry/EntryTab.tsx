import type { LiveSite } from '../../../domain/wire/live.ts';
import { mayManagePeople } from '../../api/session.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { Panel } from '../parts.tsx';
import { SessionRows } from '../SessionRows.tsx';
import { ScreensPanel } from './ScreensPanel.tsx';
import { TokensPanel } from './TokensPanel.tsx';

/** Everything that lets somebody in: sessions, tokens, wall screens, devices. Each can be taken back. */
export function EntryTab({ sites, zone }: { readonly sites: readonly LiveSite[]; readonly zone: string }) {
  const { words, session } = useSeat();
  const isAdministrator = mayManagePeople(session.role);
  return (
    <div className="panels">
      <ScreensPanel sites={sites} zone={zone} />
      {isAdministrator ? <TokensPanel sites={sites} zone={zone} /> : null}
      {isAdministrator ? (
        <Panel title={words.people.sessions.all} testId="all-sessions">
          <SessionRows zone={zone} />
        </Panel>
      ) : null}
    </div>
  );
}
