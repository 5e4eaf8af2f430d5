import { pointKey } from '../../../domain/points/reading.ts';
import { describePoint } from '../../format/describe-point.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { useStore } from '../../hooks/use-store.ts';
import { FieldTree } from '../FieldTree.tsx';
import { SITE_SCHEMA, type SchemaNode } from '../schema.ts';
import { useDraft } from '../use-settings.ts';
import type { PointOwner } from './owners.ts';

/** The fields of a source are the same wherever it stands. */
const SOURCE = (SITE_SCHEMA.properties?.['points']?.additionalProperties ?? {}) as SchemaNode;

/** Fields that this form of message would not use: the file refuses them. */
function uselessIn(source: Source | undefined): readonly string[] {
  const form = source?.['payload'] ?? 'number';
  return [...(form === 'json' ? [] : ['value', 'time']), ...(form === 'senml' ? [] : ['name']), ...(form === 'sparkplug' ? [] : ['metric']), ...(source?.['scale'] === undefined ? ['range'] : [])].filter((field) => source?.[field] === undefined);
}

type Source = Readonly<Record<string, string | undefined>>;

export interface PointRowProps {
  readonly owner: PointOwner;
  readonly id: string;
  readonly label: string;
  readonly siteId: string;
  readonly isOpen: boolean;
  readonly onOpen: (isOpen: boolean) => void;
}

/** One point: what it reads now, where from, and its fields when it is opened. */
export function PointRow({ owner, id, label, siteId, isOpen, onOpen }: PointRowProps) {
  const { desk, words } = useSeat();
  const told = words.settingsScreen.points;
  const draft = useDraft();
  const reader = useReader();
  const live = useStore(desk.live).points.get(pointKey(owner.id, id));
  const view = describePoint(live, reader);
  const path = [...owner.path, id];
  const held = draft.get(path) as Source | undefined;
  return (
    <li className="point" data-testid={`point-${owner.id}-${id}`} data-open={isOpen || undefined}>
      <div className="point__head">
        <strong>{label}</strong>
        <span className="point__now" data-good={view.isGood}>
          {live && view.number !== null ? `${view.number} ${view.symbol}` : told.never}
          {live && !view.isGood && view.reason !== null ? <small> {view.reason}</small> : null}
        </span>
        <span className="point__from">{held?.['topic'] === undefined ? (live ? told.byDefault(`potside/${siteId}/${owner.id}/${id}`) : '') : told.from(held['topic'])}</span>
        {draft.mayEdit ? (
          <button type="button" className="action action--quiet" aria-expanded={isOpen} aria-label={isOpen ? told.close : held ? told.changeOf(label) : told.mapOf(label)} onClick={() => onOpen(!isOpen)}>
            {isOpen ? told.close : held ? told.change : told.map}
          </button>
        ) : null}
      </div>
      {isOpen ? (
        <div className="point__fields">
          <FieldTree node={SOURCE} path={path} omit={uselessIn(held)} />
          {held ? (
            <button type="button" className="action action--quiet" onClick={() => draft.set(path, undefined)}>
              {told.unmap}
            </button>
          ) : null}
        </div>
      ) : null}
    </li>
  );
}
