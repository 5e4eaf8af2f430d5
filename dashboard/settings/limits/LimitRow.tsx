import type { AlarmRule } from '../../../domain/alarms/rule.ts';
import type { FieldChange } from '../../api/settings.ts';
import { formatDate } from '../../format/day.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { SETTINGS, type TriableRule } from '../../shifts/rejudge/rule-settings.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';
import { FieldLeaf } from '../FieldLeaf.tsx';
import { say } from '../SaveBar.tsx';
import { SITE_SCHEMA, type SchemaNode } from '../schema.ts';
import { useDraft } from '../use-settings.ts';

const OVERRIDE = ((SITE_SCHEMA.properties?.['alarms']?.additionalProperties ?? {}) as SchemaNode).properties ?? {};

export interface LimitRowProps {
  readonly rule: AlarmRule;
  readonly shipped: TriableRule['shipped'];
  readonly zone: string;
  /** Newest first. */
  readonly history: readonly FieldChange[];
}

/** One alarm: its limit in a line, everything that can be set when it is opened. */
export function LimitRow({ rule, shipped, zone, history }: LimitRowProps) {
  const { words } = useSeat();
  const told = words.settingsScreen.limits;
  const draft = useDraft();
  const own = draft.get(['alarms', rule.name]) as Readonly<Record<string, unknown>> | undefined;
  const limit = own?.['limit'] ?? (shipped.limit === '' ? told.fromRig : shipped.limit);
  const last = history[0];
  const fields = SETTINGS.filter((setting) => shipped[setting] !== undefined);
  // CO and loss of air ask for a person, always: the file refuses it there.
  const mayAutoAcknowledge = !rule.isAir && !rule.latched;
  return (
    <li className="limit" data-testid={`limit-${rule.name}`} data-changed={own !== undefined || undefined}>
      <details>
        <summary>
          <PriorityMark priority={rule.priority} />
          <strong>{words.told(rule.title)}</strong>
          <span>{say(limit, '')}</span>
          <small>{last ? told.lastBy(last.by, formatDate(Date.parse(last.at), zone, words)) : own ? told.here : ''}</small>
        </summary>
        <div className="leaves">
          {fields.map((setting) => (
            <FieldLeaf key={setting} node={OVERRIDE[setting] ?? {}} path={['alarms', rule.name, setting]} isNeeded={false} otherwise={shipped[setting] === '' ? told.fromRig : told.shipped(shipped[setting] ?? '')} />
          ))}
          {mayAutoAcknowledge ? <FieldLeaf node={OVERRIDE['auto-acknowledge'] ?? {}} path={['alarms', rule.name, 'auto-acknowledge']} isNeeded={false} otherwise={words.settingsScreen.no} /> : null}
        </div>
        <dl className="limit__why">
          <dt>{told.source}</dt>
          <dd>{words.told(rule.limitSource)}</dd>
          <dt>{told.response}</dt>
          <dd>{words.told(rule.response)}</dd>
          <dt>{told.history}</dt>
          <dd>
            {history.length === 0 ? told.noHistory : null}
            <ol>
              {history.map(({ field, at, by, old, new: now, why }) => (
                <li key={`${field} ${at}`}>
                  {formatDate(Date.parse(at), zone, words)}, <strong>{by}</strong>: {words.settingsScreen.label(field.split('.').at(-1) ?? '')} {words.settingsScreen.file.to(say(old, words.settingsScreen.nothing), say(now, words.settingsScreen.nothing))}
                  {why === null ? null : <em> {why}</em>}
                </li>
              ))}
            </ol>
          </dd>
        </dl>
      </details>
    </li>
  );
}
