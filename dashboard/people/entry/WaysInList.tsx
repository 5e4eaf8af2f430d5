import type { Asked } from '../../hooks/use-answer.ts';
import { Failure, Fetched } from '../parts.tsx';
import { useRequest } from '../use-request.ts';

/** One that was given, as it stands in the list. */
export interface WayIn {
  /** What the API calls it. */
  readonly key: string;
  readonly name: string;
  readonly what: string;
  readonly more: string;
}

export interface WaysInListProps<T> {
  /** Where one of them is taken back, without its key. */
  readonly path: string;
  readonly testId: string;
  readonly asked: Asked<{ readonly items: readonly T[] }>;
  readonly none: string;
  /** The word on the key that takes one back. */
  readonly revokeWord: string;
  readonly describe: (one: T) => WayIn;
}

/** Every token, or every screen, that lets in: what it may, until when, and the key that takes it back. */
export function WaysInList<T>({ path, testId, asked, none, revokeWord, describe }: WaysInListProps<T>) {
  const { isSending, failure, send } = useRequest();
  const revoke = async (key: string): Promise<void> => {
    await send(`${path}/${encodeURIComponent(key)}`, { method: 'DELETE' });
    asked.again();
  };
  return (
    <>
      <Failure text={failure} />
      <Fetched asked={asked}>
        {({ items }) => (
          <>
            {items.length === 0 ? <p className="soft">{none}</p> : null}
            <ul className="rows-list">
              {items.map(describe).map(({ key, name, what, more }) => (
                <li key={key} className="row" data-testid={`${testId}-${name}`}>
                  <div className="row__what">
                    <strong>{name}</strong>
                    <span>{what}</span>
                    <span className="soft">{more}</span>
                  </div>
                  <button type="button" className="action action--quiet" aria-label={`${revokeWord}: ${name}`} disabled={isSending} onClick={() => void revoke(key)}>
                    {revokeWord}
                  </button>
                </li>
              ))}
            </ul>
          </>
        )}
      </Fetched>
    </>
  );
}
