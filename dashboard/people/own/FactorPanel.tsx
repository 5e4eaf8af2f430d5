import { type FormEvent, useState } from 'react';
import { useSeat } from '../../hooks/desk-context.ts';
import { Failure, Panel, Text } from '../parts.tsx';
import { QrCode } from '../QrCode.tsx';
import { useRequest } from '../use-request.ts';

interface Offer {
  readonly secret: string;
  readonly uri: string;
}

/** Setting a second factor up, or taking it away: both need the password and a code that the app shows now. */
export function FactorPanel({ isSet, onChanged }: { readonly isSet: boolean; readonly onChanged: () => void }) {
  const { words } = useSeat();
  const told = words.people.factor;
  const { isSending, failure, send } = useRequest();
  const [offer, setOffer] = useState<Offer | null>(null);
  const [isRemoving, setRemoving] = useState(false);
  const [password, setPassword] = useState('');
  const [code, setCode] = useState('');
  const isAsking = offer !== null || isRemoving;
  const begin = async (): Promise<void> => {
    const answer = await send<Offer>('/api/second-factor', { method: 'POST' });
    if (answer.ok) setOffer(answer.body);
  };
  const leave = (): void => {
    setOffer(null);
    setRemoving(false);
    setPassword('');
    setCode('');
  };
  const submit = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    const said = { password, code: code.replaceAll(' ', '') };
    const answer = offer ? await send('/api/second-factor', { method: 'PUT', body: { ...said, secret: offer.secret } }) : await send('/api/second-factor', { method: 'DELETE', body: said });
    if (!answer.ok) return;
    leave();
    onChanged();
  };
  return (
    <Panel title={told.region} testId="second-factor">
      <p role="status">{isSet ? told.on : told.off}</p>
      {isAsking ? (
        <form className="panel__form" onSubmit={(event) => void submit(event)}>
          {offer ? (
            <>
              <p>{told.scan}</p>
              <QrCode text={offer.uri} label={told.picture} />
              <p>
                {told.key}: <code className="panel__secret" data-testid="factor-key">{offer.secret.match(/.{1,4}/g)?.join(' ')}</code>
              </p>
            </>
          ) : null}
          <Text label={told.password} type="password" autoComplete="current-password" value={password} onChange={setPassword} />
          <Text label={told.code} inputMode="numeric" autoComplete="one-time-code" maxLength={10} value={code} onChange={setCode} />
          <Failure text={failure} />
          <div className="panel__keys">
            <button type="submit" className="action" data-testid="factor-do" disabled={isSending || password === '' || code === ''}>
              {offer ? told.set : told.remove}
            </button>
            <button type="button" className="action action--quiet" onClick={leave}>
              {words.people.cancel}
            </button>
          </div>
        </form>
      ) : (
        <div className="panel__keys">
          <Failure text={failure} />
          <button type="button" className="action" data-testid="factor-begin" disabled={isSending} onClick={() => (isSet ? setRemoving(true) : void begin())}>
            {isSet ? told.remove : told.begin}
          </button>
        </div>
      )}
    </Panel>
  );
}
