import type { SetUp, SizingField } from '../../domain/air/sizing/set-up.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { Field } from './Field.tsx';

const PARTS: readonly { readonly part: 'compressor' | 'supply' | 'machine' | 'nozzle' | 'weather'; readonly fields: readonly SizingField[] }[] = [
  { part: 'compressor', fields: ['ratedFlow', 'pressure', 'elevation'] },
  { part: 'supply', fields: ['supplyBore', 'supplyLength', 'separatorLoss'] },
  { part: 'machine', fields: ['rigs', 'otherBore', 'breathingAir'] },
  { part: 'nozzle', fields: ['blastBore', 'blastLength', 'nozzleBore'] },
  { part: 'weather', fields: ['temperature', 'humidity', 'cooledTo'] },
];

/** What can be set, under the part of the line it belongs to. */
export function PartFields({ setUp, onChange }: { setUp: SetUp; onChange: (next: SetUp) => void }) {
  const { words } = useSeat();
  return (
    <div className="parts">
      {PARTS.map(({ part, fields }) => (
        <section key={part} className="parts__part" data-part={part} aria-label={words.sizing.parts[part]}>
          <h3>{words.sizing.parts[part]}</h3>
          {fields.map((id) => (
            <Field key={id} id={id} si={setUp[id]} isIdle={id === 'otherBore' && setUp.rigs === 1} onChange={(si) => onChange({ ...setUp, [id]: si })} />
          ))}
        </section>
      ))}
    </div>
  );
}
