import { useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useDraft } from '../use-settings.ts';
import { ArrivingList } from './ArrivingList.tsx';
import { ownersIn } from './owners.ts';
import { PointRow } from './PointRow.tsx';
import { isMapped, kindsOf } from './owners.ts';

/** What arrives on the one side, what it is on the other; picking one and saying the other joins them. */
export function PointsSection({ site }: { site: LiveSite }) {
  const { words } = useSeat();
  const told = words.settingsScreen.points;
  const draft = useDraft();
  const owners = ownersIn(draft.document);
  // A point that was just joined shows its fields: unit and loop can't be seen from the message.
  const [open, setOpen] = useState<string | null>(null);
  return (
    <>
      <p className="soft">{told.lead}</p>
      <div className="points">
        {draft.mayEdit ? <ArrivingList site={site.id} owners={owners} onTaken={setOpen} /> : null}
        <section aria-label={told.configured} className="points__owners">
          {owners.map((owner) => {
            const kinds = kindsOf(owner);
            const isTold = (id: string): boolean => isMapped(draft.document, owner, id);
            const row = (id: string, label: string) => <PointRow key={id} owner={owner} id={id} label={words.told(label)} siteId={site.id} isOpen={open === `${owner.id}/${id}`} onOpen={(isOpen) => setOpen(isOpen ? `${owner.id}/${id}` : null)} />;
            return (
              <section key={`${owner.kind} ${owner.id}`} data-testid={`owner-${owner.id}`}>
                <h3>{owner.name}</h3>
                <ul className="points__list">{kinds.filter(({ id }) => isTold(id)).map(({ id, label }) => row(id, label))}</ul>
                <details className="points__more">
                  <summary>{told.more}</summary>
                  <ul className="points__list">{kinds.filter(({ id }) => !isTold(id)).map(({ id, label }) => row(id, label))}</ul>
                </details>
              </section>
            );
          })}
        </section>
      </div>
    </>
  );
}
