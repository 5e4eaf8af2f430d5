import type { HandEntry, Shift } from '../../api/shift-shapes.ts';
import { mayAddToRecord } from '../../api/session.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import type { ShiftWhere } from '../site-names.ts';
import { describeEntry } from './describe-entry.ts';
import { Downloads } from './Downloads.tsx';
import { LogEntryLine } from './LogEntryLine.tsx';
import { logLines, looseCorrections } from './log-lines.ts';
import { SetupPanel } from './SetupPanel.tsx';
import { ShiftOrders } from './ShiftOrders.tsx';

export interface ShiftLogProps {
  readonly shift: Shift;
  readonly where: ShiftWhere;
  readonly entries: readonly HandEntry[];
  /** After something was sent: the shift is read anew. */
  readonly onChange: () => void;
}

/** What happened and what can still be done: the log on one side, the next step, setup and files on the other. */
export function ShiftLog({ shift, where, entries, onChange }: ShiftLogProps) {
  const { desk, words, session } = useSeat();
  const { units } = useStore(desk.preferences);
  const lines = logLines(shift, entries, (entry) => describeEntry(entry, units, words), words);
  const loose = looseCorrections(shift, lines);
  return (
    <div className="shift-log">
      <ShiftOrders shift={shift} where={where} entries={entries} onChange={onChange} />
      <section className="shift-log__lines" aria-label={words.shifts.tabNames.log}>
        <ol className="log-lines" data-testid="log-lines">
          {lines.map((line, index) => (
            <LogEntryLine key={line.id} line={line} before={lines[index - 1] ?? null} shift={shift} zone={where.zone} mayCorrect={mayAddToRecord(session.role)} onChange={onChange} />
          ))}
        </ol>
        {loose.length === 0 ? null : (
          <ul className="log-loose">
            {loose.map((one) => (
              <li key={one.at + one.of}>
                <strong>{words.shifts.log.correctionOf(fieldName(one.of, words))}</strong> {one.text} <span className="soft">{one.by}</span>
              </li>
            ))}
          </ul>
        )}
      </section>
      <div className="shift-log__side">
        <Downloads shift={shift} />
        <SetupPanel shift={shift} onChange={onChange} />
      </div>
    </div>
  );
}

function fieldName(field: string, words: ReturnType<typeof useSeat>['words']): string {
  const name = (words.shifts.setup as Readonly<Record<string, unknown>>)[field];
  return typeof name === 'string' ? name : field;
}
