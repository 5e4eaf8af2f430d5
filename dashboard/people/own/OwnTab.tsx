import type { Account } from '../../api/people.ts';
import { callApi } from '../../api/call-api.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { Fetched, Panel } from '../parts.tsx';
import { SessionRows } from '../SessionRows.tsx';
import { sitesText } from '../sites-text.ts';
import { ContactPanel } from './ContactPanel.tsx';
import { FactorPanel } from './FactorPanel.tsx';
import { PasswordPanel } from './PasswordPanel.tsx';
import { PushPanel } from './PushPanel.tsx';

/** One's own account: how one is told, how one signs in, where one is signed in. */
export function OwnTab({ zone }: { readonly zone: string }) {
  const { words } = useSeat();
  const told = words.people.account;
  const account = useAnswer('account', () => callApi<Account>('/api/account'));
  return (
    <div className="panels">
      <Fetched asked={account}>
        {({ name, role, sites, way, hasSecondFactor }) => (
          <>
            <Panel title={told.region} testId="own-account">
              <p className="panel__lead">{told.who(name, words.roles[role] ?? role)}</p>
              <p className="soft">{sitesText(sites, words.people)}</p>
              {way === 'token' || way === 'wall' ? <p>{told.noPerson}</p> : null}
            </Panel>
            {way === 'token' || way === 'wall' ? null : (
              <>
                <ContactPanel path="/api/contact" title={words.people.contact.region} />
                <PushPanel zone={zone} />
                {way === 'password' ? (
                  <>
                    <PasswordPanel />
                    <FactorPanel isSet={hasSecondFactor} onChanged={account.again} />
                  </>
                ) : (
                  <Panel title={words.people.password.region} testId="own-password">
                    <p>{told.onlyPassword}</p>
                  </Panel>
                )}
                <Panel title={words.people.sessions.region} testId="own-sessions">
                  <SessionRows only={name} zone={zone} />
                </Panel>
              </>
            )}
          </>
        )}
      </Fetched>
    </div>
  );
}
