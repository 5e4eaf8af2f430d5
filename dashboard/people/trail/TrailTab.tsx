import { useEffect, useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { type AuditRow, type List, readList } from '../../api/people.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { Select } from '../../ui/Select.tsx';
import { endOfDay } from '../entry/end-of-day.ts';
import { Failure, Fetched, Panel, Text } from '../parts.tsx';
import { useRequest } from '../use-request.ts';
import { TrailRow } from './TrailRow.tsx';

interface Filters {
  readonly search: string;
  readonly by: string;
  readonly site: string;
  readonly from: string;
  readonly to: string;
}

const NONE: Filters = { search: '', by: '', site: '', from: '', to: '' };
/** Until a typed word is finished. */
const PAUSE_MS = 300;
/** Going over years of rows takes its time. */
const VERIFY_MS = 60_000;

/** Who did what, when, from where, what it was before, and why. */
export function TrailTab({ sites, zone }: { readonly sites: readonly LiveSite[]; readonly zone: string }) {
  const { words } = useSeat();
  const told = words.people.audit;
  const [typed, setTyped] = useState(NONE);
  const [filters, setFilters] = useState(NONE);
  useEffect(() => {
    const timer = setTimeout(() => setFilters(typed), PAUSE_MS);
    return () => clearTimeout(timer);
  }, [typed]);
  const query = queryOf(filters);
  const first = useAnswer(`audit ${query}`, () => readList<AuditRow>(`/api/audit?${query}`));
  const fields = (
    <form className="filters" role="search" onSubmit={(event) => event.preventDefault()}>
      <Text label={told.search} type="search" placeholder={told.searchHint} maxLength={100} value={typed.search} onChange={(search) => setTyped({ ...typed, search })} />
      <Text label={told.who} maxLength={64} value={typed.by} onChange={(by) => setTyped({ ...typed, by })} />
      {sites.length > 1 ? <Select label={words.siteSwitch} value={typed.site} all={words.people.every} options={sites.map(({ id, name }) => [id, name])} onChange={(site) => setTyped({ ...typed, site })} /> : null}
      <Text label={told.from} type="date" value={typed.from} onChange={(from) => setTyped({ ...typed, from })} />
      <Text label={told.to} type="date" value={typed.to} onChange={(to) => setTyped({ ...typed, to })} />
    </form>
  );
  return (
    <Panel title={told.region} testId="trail">
      {fields}
      <div className="panel__keys">
        {(['csv', 'json'] as const).map((format) => (
          <a key={format} className="action action--quiet action--link" download data-testid={`trail-${format}`} href={`/api/audit/export?${query}${query === '' ? '' : '&'}format=${format}`}>
            {told[format]}
          </a>
        ))}
        <Verify />
      </div>
      <Fetched asked={first}>{(found) => <Rows key={query} first={found} query={query} zone={zone} />}</Fetched>
    </Panel>
  );
}

function Rows({ first, query, zone }: { readonly first: List<AuditRow>; readonly query: string; readonly zone: string }) {
  const { words } = useSeat();
  const told = words.people.audit;
  const [older, setOlder] = useState<readonly AuditRow[]>([]);
  const [next, setNext] = useState(first.next);
  const more = async (): Promise<void> => {
    const answer = await readList<AuditRow>(`/api/audit?${query}${query === '' ? '' : '&'}cursor=${next ?? ''}`);
    if (!answer.ok) return;
    setOlder([...older, ...answer.body.items]);
    setNext(answer.body.next);
  };
  const rows = [...first.items, ...older];
  return (
    <>
      {rows.length === 0 ? <p className="soft">{told.none}</p> : null}
      <ul className="rows-list" data-testid="trail-rows">
        {rows.map((row) => (
          <TrailRow key={row.seq} row={row} zone={zone} />
        ))}
      </ul>
      {next === null ? null : (
        <button type="button" className="action" onClick={() => void more()}>
          {told.more}
        </button>
      )}
    </>
  );
}

function Verify() {
  const { words } = useSeat();
  const told = words.people.audit;
  const { isSending, failure, send } = useRequest();
  const [verdict, setVerdict] = useState('');
  const verify = async (): Promise<void> => {
    const answer = await send<{ intact: boolean; rows: number | null; hash: string | null; reason: string | null }>('/api/audit/verify', { timeoutMs: VERIFY_MS });
    if (answer.ok) setVerdict(answer.body.intact ? told.intact(answer.body.rows ?? 0, answer.body.hash ?? '') : told.broken(answer.body.reason ?? ''));
  };
  return (
    <>
      <button type="button" className="action action--quiet" data-testid="trail-verify" disabled={isSending} onClick={() => void verify()}>
        {told.verify}
      </button>
      <Failure text={failure} />
      <p role="status" className="panel__hash" data-testid="trail-verdict">
        {verdict}
      </p>
    </>
  );
}

function queryOf({ search, by, site, from, to }: Filters): string {
  const said: Record<string, string> = {};
  if (search.trim() !== '') said['search'] = search.trim();
  if (by.trim() !== '') said['by'] = by.trim();
  if (site !== '') said['site'] = site;
  if (from !== '') said['from'] = new Date(`${from}T00:00:00`).toISOString();
  const end = endOfDay(to);
  if (end !== undefined) said['to'] = end;
  return new URLSearchParams(said).toString();
}
